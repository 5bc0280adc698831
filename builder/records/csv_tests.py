"""A table of tests, a row a donning: from texts as people write them to tests."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from builder.records.csv_tables import TableError, TableProblems
from builder.records.entry_keys import fields_of, name_of
from builder.records.from_texts import NO_NUMBER, build
from builder.records.handed_tables import HandedTable, columns_of, plain_name, read_table
from builder.records.logs.log_words import said_phase
from builder.records.models import Test
from builder.records.problems import quoted
from builder.records.vocabulary import Exercise
from builder.records.written_dates import AMBIGUOUS_DATE_REMEDY, DayOrder, order_of, read_date
from builder.records.written_numbers import AMBIGUOUS_NUMBER_REMEDY, AmbiguousNumber, DecimalMark, limit_in

CORRECTS = "test"
"""The column that names the test which a row corrects."""

FIELDS = tuple(field.name for field in fields_of(Test))
EXERCISES = tuple(str(exercise) for exercise in Exercise)
COLUMNS = (*FIELDS, *EXERCISES, CORRECTS)
REQUIRED = tuple(field.name for field in fields_of(Test) if field.needed)
MEASURED = ("fit_factor", *EXERCISES)
_NUMBERS = frozenset(field.name for field in fields_of(Test) if field.kind in ("number", "whole number"))
_IN_EXERCISE = re.compile(r"result\.exercise\[(\d+)\]")


@dataclass(frozen=True)
class DonningRow:
    """A test and the row it stands in, as a spreadsheet numbers them.

    `columns` are those the table has, `said` those in which the row says something. `exercises` are the names of the
    exercises in order; `corrects` is the id of the test that the row names, "" for none.
    """

    number: int
    test: Test
    columns: frozenset[str]
    said: frozenset[str]
    exercises: tuple[str, ...] = ()
    corrects: str = ""

    def column_of(self, key: str) -> str:
        """Name the column that a dotted key of the test came from."""
        if (found := _IN_EXERCISE.match(key)) and int(found[1]) <= len(self.exercises):
            return self.exercises[int(found[1]) - 1]
        if key == "result.exercise" and self.exercises:
            return self.exercises[0]
        return name_of(Test, key)


@dataclass(frozen=True)
class TableHabits:
    """What was said of how the table is written: which of day and month comes first, and the decimal mark's name."""

    dates: DayOrder | None = None
    decimal: str | None = None


def read_tests(path: Path, habits: TableHabits = TableHabits()) -> tuple[list[DonningRow], TableProblems]:
    """Read a table. Rows with a fault are left out, and each of its faults is noted at its row and column."""
    problems = TableProblems()
    try:
        table = read_table(path, lambda name: column_named(name) is not None, problems)
    except TableError as error:
        problems.append(error.problem)
        return [], problems
    columns = columns_of(table, column_named, COLUMNS, problems)
    _note_header(table, columns, problems)
    if not table.rows and not problems.total:
        problems.add(0, "", "The table has no rows below its header.", "Add a row for each donning.")
    rows = _Rows(table, columns, habits, problems)
    return [row for number, texts in table.rows if (row := rows.row(number, texts))], problems


@cache
def column_named(name: str) -> str | None:
    """Spell a column as it is known; exercises by any of their usual names. None for one that there is none of."""
    if known := _spelling().get(plain_name(name)):
        return known
    said = said_phase(name)
    return (said.exercise or None) if said else None


@cache
def _spelling() -> Mapping[str, str]:
    return {plain_name(name): name for name in COLUMNS}


def _note_header(table: HandedTable, columns: Sequence[str], problems: TableProblems) -> None:
    row = table.header_row
    for name in dict.fromkeys(columns):
        if name and name not in EXERCISES and columns.count(name) > 1:  # a protocol may have an exercise twice
            problems.add(row, name, "The column is there twice.", "Delete one of the two.")
    for name in REQUIRED:
        if name not in columns:
            problems.add(row, name, f"The column {name} is missing.", f"Add the column {name}.")
    if not set(MEASURED) & set(columns):
        remedy = "Add the column fit_factor, or one for each exercise, such as talking."
        problems.add(row, "fit_factor", "The column fit_factor is missing.", remedy)


class _Rows:
    """Reads the rows of a table one by one, by what all of them say about how it is written."""

    def __init__(
        self, table: HandedTable, columns: Sequence[str], habits: TableHabits, problems: TableProblems
    ) -> None:
        self.columns = columns
        self.problems = problems
        self.missing = frozenset(REQUIRED).difference(columns)
        dates = [place for place, name in enumerate(columns) if name == "date"]
        self.order = habits.dates or order_of(row[place] for _, row in table.rows for place in dates)
        measured = [place for place, name in enumerate(columns) if name in _NUMBERS or name in EXERCISES]
        texts = (limit_in(row[place]) or row[place] for _, row in table.rows for place in measured)
        self.mark = DecimalMark.of(texts, table.delimiter, habits.decimal)

    def row(self, number: int, texts: Sequence[str]) -> DonningRow | None:
        """Read a row, or note what is wrong with it."""
        noted = self.problems.total
        given: dict[str, str] = {}
        exercises: list[dict[str, object]] = []
        told = set(self.missing)
        for name, written in zip(self.columns, texts, strict=True):
            if not written.strip() or not name:
                continue
            limit = limit_in(written) if name in MEASURED else None
            text = self._plain(number, name, limit or written)
            if text is None:
                told.add(name)
            if name in EXERCISES:
                value = _fit_factor(text) if text is not None else 1.0
                if value is None:
                    self.problems.add(number, name, f"{quoted(written.strip())} is no number.", NO_NUMBER)
                    told.add(name)
                exercises.append({"name": name, "fit_factor": value or 1.0, "at_least": limit is not None})
            else:
                given[name] = text or written
                if limit is not None:
                    given["at_least"] = "yes"
        corrects = given.pop(CORRECTS, "").strip()
        names = tuple(str(exercise["name"]) for exercise in exercises)
        test = build(Test, given.items(), {"result": {"exercise": exercises}} if exercises else None)
        if not isinstance(test, Test):
            for fault in test:
                found = _IN_EXERCISE.match(fault.name)
                name = names[int(found[1]) - 1] if found else fault.name
                if name not in told:
                    self.problems.add(number, name, fault.problem, fault.remedy)
        if not exercises and "fit_factor" not in given and set(MEASURED) & set(self.columns):
            self.problems.add(number, "fit_factor", "fit_factor is missing.", "Write what was measured.")
        if not isinstance(test, Test) or self.problems.total > noted:
            return None
        return DonningRow(number, test, frozenset(self.columns) - {""}, frozenset(given), names, corrects)

    def _plain(self, number: int, name: str, text: str) -> str | None:
        """Write a date or a number as entries have it; None for one that is noted: it says nothing, or two things."""
        if name == "date":
            written = read_date(text)
            if day := written.by(self.order):
                return day.isoformat()
            if written.readings:
                problem = f"{quoted(text.strip())} is {written.choice()}."
                self.problems.add_repeated([number], name, problem, AMBIGUOUS_DATE_REMEDY, "two days")
            else:
                self.problems.add(number, name, f"{quoted(text.strip())} is no date.", written.instead)
            return None
        if name in _NUMBERS or name in EXERCISES:
            read = self.mark.read(text)
            if isinstance(read, AmbiguousNumber):
                self.problems.add_repeated([number], name, read.problem, AMBIGUOUS_NUMBER_REMEDY, "two numbers")
                return None
            return read
        return text


def _fit_factor(text: str) -> float | None:
    try:
        return None if "_" in text else float(text)  # Python alone reads 1_000 as a number
    except ValueError:
        return None
