"""Which test a row of a table is: one that is there, one that is there with a slip in it, or a new one.

A table is handed in again when it has grown or a slip was found, so its rows are told apart by what they say: wearer,
mask and day, then configuration and result. A row that differs corrects a test only where nothing else can be meant:
the table was handed in before, and it has a row for each test of that wearer, mask and day. Else it is asked back.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from pydantic import ValidationError

from builder.records.csv_tables import TableProblems
from builder.records.csv_tests import CORRECTS, DonningRow
from builder.records.entries import TestRecord
from builder.records.entry_keys import fields_of
from builder.records.key_changes import plain_values
from builder.records.models import Test, configuration_id
from builder.records.overall import overall
from builder.records.problems import dotted
from builder.records.translating import translate

Differing = Literal["correct", "add"]
_Group = tuple[str, object, str, str]


@dataclass(frozen=True)
class Correction:
    """A row, the test that it corrects, and that test as it is then."""

    row: DonningRow
    record: TestRecord
    test: Test


@dataclass
class SortedRows:
    """The rows of a table by what becomes of them; `same` are those that are there already."""

    new: list[DonningRow] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)
    same: int = 0


def sort_rows(
    rows: Sequence[DonningRow], there: Iterable[TestRecord], problems: TableProblems, differing: Differing | None = None
) -> SortedRows:
    """Sort the rows of a table, beside the tests that are `there` of the same wearers or named by a row.

    `differing` says what a row is that differs from the tests of its wearer, mask and day. Where that is not said and
    not clear, and where a row names a test that is not there, a problem is noted.
    """
    sorted_rows = SortedRows()
    left = {record.id: record for record in there if _identity(record.test)}
    unnamed = []
    for row in rows:
        if not row.corrects:
            unnamed.append(row)
        elif record := left.pop(row.corrects, None):
            _correct(sorted_rows, row, record, problems)
        else:
            problem, remedy = f"There is no test {row.corrects}.", "Write its path below tests/, without .toml, once."
            problems.add(row.number, CORRECTS, problem, remedy)
    tests: dict[_Group, list[TestRecord]] = defaultdict(list)
    of_identity: dict[tuple[object, ...] | None, list[TestRecord]] = defaultdict(list)
    of_group: dict[_Group, list[DonningRow]] = defaultdict(list)
    for record in left.values():
        tests[_group(record.test)].append(record)
        of_identity[_identity(record.test)].append(record)
    for row in unnamed:
        of_group[_group(row.test)].append(row)
    differs = [row for row in unnamed if not _found(sorted_rows, row, of_identity[_identity(row.test)], left, problems)]
    handed_in_before = len(differs) < len(rows)
    for row in differs:
        group = _group(row.test)
        candidates = [record for record in tests[group] if record.id in left]
        if not candidates or differing == "add":
            sorted_rows.new.append(row)
            continue
        record, others = _nearest(row, candidates)
        covered = handed_in_before and len(of_group[group]) >= len(tests[group]) and not _two_things(row, record)
        if covered or (differing == "correct" and not others):
            del left[record.id]
            _correct(sorted_rows, row, record, problems)
        else:
            _ask(row, candidates, problems)
    return sorted_rows


def _found(
    sorted_rows: SortedRows,
    row: DonningRow,
    alike: list[TestRecord],
    left: dict[str, TestRecord],
    problems: TableProblems,
) -> bool:
    """Take a row for one of the tests with the same result; it may still say more of it, or something else."""
    same = [record for record in alike if record.id in left]
    if not same:
        return False
    record, _ = _nearest(row, same)
    del left[record.id]
    if record.test.contributor == row.test.contributor:
        _correct(sorted_rows, row, record, problems)
    else:
        sorted_rows.same += 1
    return True


def _correct(sorted_rows: SortedRows, row: DonningRow, record: TestRecord, problems: TableProblems) -> None:
    try:
        test = corrected(row, record.test)
    except ValidationError as error:
        for _, finding in translate(Test, error):
            problems.add(row.number, row.column_of(dotted(finding.key)), finding.problem, finding.remedy)
        return
    if test == record.test:
        sorted_rows.same += 1
    else:
        sorted_rows.corrections.append(Correction(row, record, test))


def corrected(row: DonningRow, test: Test) -> Test:
    """Give a test as a row has it. What the row leaves blank stays, but for parts, and readings that are limits.

    Raises ValidationError for what makes no sense together.
    """
    table = test.model_dump(by_alias=True, exclude_defaults=True)
    given = row.test.model_dump(by_alias=True, exclude_defaults=True)
    if "length_mm" in row.said or "cell" in row.said:
        for name in ("length_mm", "width_mm", "cell"):
            table["face"].pop(name, None)
    for key in fields_of(Test):
        stated = key.name in row.said or (key.name == "at_least" and "fit_factor" in row.said)
        if stated or (key.name in row.columns and key.path[0] == "configuration"):
            _put(table, given, key.path)
    if row.exercises:
        table["result"]["exercise"] = given["result"]["exercise"]
    return Test.model_validate(table)


def _put(table: dict[str, Any], given: dict[str, Any], path: tuple[str, ...]) -> None:
    """Write what is given at a path, or take away what is there where nothing is."""
    for part in path[:-1]:
        table, given = table.setdefault(part, {}), given.get(part, {})
    if path[-1] in given:
        table[path[-1]] = given[path[-1]]
    else:
        table.pop(path[-1], None)


def _nearest(row: DonningRow, records: Sequence[TestRecord]) -> tuple[TestRecord, bool]:
    """Give the test that a row changes least, the first of several; and whether there are several."""
    if len(records) == 1:
        return records[0], False
    distances = [_distance(row, record.test) for record in records]
    least = min(distances)
    return records[distances.index(least)], distances.count(least) > 1


def _distance(row: DonningRow, test: Test) -> int:
    try:
        after = plain_values(corrected(row, test))
    except ValidationError:
        return 1000
    return len(set(plain_values(test).items()) ^ set(after.items()))


def _two_things(row: DonningRow, record: TestRecord) -> bool:
    """Whether both configuration and result differ: that is seldom a slip."""
    return _configuration(row.test) != _configuration(record.test) and _reading(row.test) != _reading(record.test)


def _ask(row: DonningRow, candidates: Sequence[TestRecord], problems: TableProblems) -> None:
    one = candidates[0]
    others = f" or of {len(candidates) - 1} more of that day" if len(candidates) > 1 else ""
    problems.add(
        row.number,
        "",
        f"This may be a correction of {one.id} ({overall(one.test.result).fit_factor:g}){others}, or one more donning.",
        "Say --differing correct or --differing add for all such rows, or name the test in a column test.",
    )


def _group(test: Test) -> _Group:
    """Give what rows and tests have in common among which one may correct another."""
    kind = "exercises" if test.result.exercise else "counts" if test.result.counts else "typed"
    return f"{test.mask} {kind}", test.date, test.face.wearer, test.contributor


def _configuration(test: Test) -> str:
    return configuration_id(test.mask, test.configuration)


def _reading(test: Test) -> tuple[object, ...]:
    result = overall(test.result)
    return result.fit_factor, result.at_least, tuple((e.name, e.fit_factor, e.at_least) for e in test.result.exercise)


def _identity(test: Test) -> tuple[object, ...] | None:
    """Give what makes two tests the same, None for one without a result."""
    try:
        result = overall(test.result)
    except ValueError:
        return None
    return _configuration(test), test.date, test.face.wearer, result.fit_factor, result.at_least
