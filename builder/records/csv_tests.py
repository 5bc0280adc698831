"""A table of tests, a row a donning: from texts to tests, and which of them are new."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from builder.records.csv_tables import TableError, TableProblems, chunks_of, header_of, not_utf8, rows_of
from builder.records.entries import TestRecord
from builder.records.entry_keys import fields_of
from builder.records.from_texts import build
from builder.records.models import Test, configuration_id
from builder.records.overall import overall

COLUMNS = tuple(field.name for field in fields_of(Test))
REQUIRED = (*(field.name for field in fields_of(Test) if field.needed), "fit_factor")


@dataclass(frozen=True)
class DonningRow:
    """A test and the row it stands in; the header is row 1."""

    number: int
    test: Test


def read_tests(path: Path) -> tuple[list[DonningRow], TableProblems]:
    """Read a table. Rows with a fault are left out, and each of its faults is noted at its row and column."""
    problems = TableProblems()
    tests = []
    try:
        with rows_of(path) as rows:
            header = header_of(rows, COLUMNS, REQUIRED, problems)
            if not problems.total:
                tests = list(_tests(rows, header, problems))
                if not tests and not problems.total:
                    problems.add(0, "", "The table has no rows below its header.", "Add a row for each donning.")
    except TableError as error:
        problems.append(error.problem)
    return tests, problems


def only_new(rows: Sequence[DonningRow], there: Iterable[TestRecord]) -> list[DonningRow]:
    """Leave out the rows whose test is there already: the same wearer, configuration, day and result.

    Of rows that are alike as many are left out as there are such tests: two donnings may give the same reading.
    """
    left = Counter(_identity(record.test) for record in there)
    new = []
    for row in rows:
        key = _identity(row.test)
        if left[key] > 0:
            left[key] -= 1
        else:
            new.append(row)
    return new


def _tests(rows: Iterator[list[str]], header: list[str], problems: TableProblems) -> Iterator[DonningRow]:
    for chunk in chunks_of(rows, len(header), problems):
        for number, texts in zip(chunk.numbers, chunk.rows, strict=True):
            if any(map(str.strip, texts)) and (test := _test(number, dict(zip(header, texts, strict=True)), problems)):
                yield DonningRow(number, test)


def _test(number: int, texts: dict[str, str], problems: TableProblems) -> Test | None:
    for name in [name for name, text in texts.items() if not_utf8(text)]:
        problems.add(number, name, "This value holds bytes that are no UTF-8.", "Save the table as CSV in UTF-8.")
        return None
    test = build(Test, texts.items())
    if not texts["fit_factor"].strip():
        problems.add(number, "fit_factor", "fit_factor is missing.", "Write what was measured.")
    if isinstance(test, Test):
        return test if texts["fit_factor"].strip() else None
    for fault in test:
        problems.add(number, fault.name, fault.problem, fault.remedy)
    return None


def _identity(test: Test) -> tuple[object, ...] | None:
    """Give what makes two tests the same, None for one without a result."""
    try:
        result = overall(test.result)
    except ValueError:
        return None
    configuration = configuration_id(test.mask, test.configuration)
    return configuration, test.date, test.face.wearer, result.fit_factor, result.at_least
