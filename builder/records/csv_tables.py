"""What tables and logs from outside have in common: lines in bounded memory, every problem at its row and column."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TextIO

from builder.fit.phrases import phrase
from builder.records.problems import printable

CHUNK_ROWS = 3000

LONGEST_LINE = 100_000
"""Characters. A longer line is no row of a table that a person could look at."""

NO_TEXT, NO_TEXT_REMEDY = "This is no text: it holds a NUL byte.", "Save the table as CSV in UTF-8."
LONG_LINE, LONG_LINE_REMEDY = "The row is longer than {most} characters.", "Save a line a row, in few columns."
QUOTATION = "The quotation marks do not match: {fault}."
QUOTATION_REMEDY = 'Write a value as "text" or without marks; a mark inside as "".'

_BLOCK = 200_000

MOST_SHOWN = 50
"""Problems that are told one by one; the others are counted."""

MOST_ALSO = 12
"""Rows that are named of those with the same problem."""


@dataclass(frozen=True)
class TableProblem:
    """What is wrong with a value, and what to do. Rows are numbered as in a spreadsheet: the header is row 1.

    Row 0 stands for the whole file, column "" for the whole row. The same in other rows is told once: `also` holds the
    first of them, `times` counts all.
    """

    row: int
    column: str
    problem: str
    remedy: str
    times: int = 1
    also: tuple[int, ...] = ()

    def sentence(self) -> str:
        """Say what is wrong, and in which rows too."""
        if self.times == 1:
            return self.problem
        more = self.times - 1 - len(self.also)
        return phrase("same", problem=self.problem, rows=_rows_named(self.also, more))


class TableError(Exception):
    """A file in which nothing further can be read. Its one argument is the problem."""

    def __init__(self, problem: TableProblem) -> None:
        super().__init__(problem.problem)
        self.problem = problem


class TableProblems:
    """A list of problems that keeps the first few and counts the rest."""

    def __init__(self) -> None:
        self.shown: list[TableProblem] = []
        self.total = 0
        self._places: dict[tuple[str, str, str], int] = {}

    def add(self, row: int, column: str, problem: str, remedy: str) -> None:
        """Note one problem."""
        self.total += 1
        if len(self.shown) < MOST_SHOWN:
            self.shown.append(TableProblem(row, column, problem, remedy))

    @classmethod
    def of(cls, problem: str, remedy: str) -> TableProblems:
        """Give the one problem of a whole file."""
        problems = cls()
        problems.add(0, "", problem, remedy)
        return problems

    def append(self, problem: TableProblem) -> None:
        """Note a problem that is made already."""
        self.add(problem.row, problem.column, problem.problem, problem.remedy)

    def add_repeated(self, rows: Sequence[int], column: str, problem: str, remedy: str, cause: str = "") -> None:
        """Note a problem of some rows, once, also where it was noted before: `cause` is what it has in common then."""
        if not rows:
            return
        key = (column, cause or problem, remedy)
        place = self._places.setdefault(key, len(self.shown))
        if place == len(self.shown):
            self.add(rows[0], column, problem, remedy)
            rows = rows[1:]
        self.total += len(rows)
        if rows and place < len(self.shown):
            noted = self.shown[place]
            also = (*noted.also, *rows[: MOST_ALSO - len(noted.also)])
            self.shown[place] = replace(noted, times=noted.times + len(rows), also=also)

    def as_text(self, path: Path) -> str:
        """Say each problem in two lines, then how many more there are."""
        more = self.total - sum(problem.times for problem in self.shown)
        lines = [f"{place(path, p.row, p.column)}\n    {p.sentence()}\n    → {p.remedy}" for p in self._by_row()]
        return "\n".join(lines + [f"… and {more} more"] * bool(more))

    def as_json(self) -> str:
        """Write the problems as a JSON object, with how many there are in all."""
        printed = {"problems": [_as_data(problem) for problem in self._by_row()], "total": self.total}
        return json.dumps(printed, indent=1, ensure_ascii=False)

    def _by_row(self) -> list[TableProblem]:
        return sorted(self.shown, key=lambda problem: problem.row)


@dataclass(frozen=True)
class RowChunk:
    """Some rows in order: their numbers, and the values of each, as many as the header has."""

    numbers: Sequence[int]
    rows: Sequence[Sequence[str]]


def _as_data(problem: TableProblem) -> dict[str, object]:
    data = {"row": problem.row, "column": problem.column, "problem": problem.problem, "remedy": problem.remedy}
    return data | ({"times": problem.times, "also": problem.also} if problem.times > 1 else {})


def _rows_named(rows: Sequence[int], more: int) -> str:
    """Name rows, those that follow each other as a range."""
    parts: list[tuple[int, int]] = []
    for row in rows:
        if parts and row == parts[-1][1] + 1:
            parts[-1] = parts[-1][0], row
        else:
            parts.append((row, row))
    named = [str(a) if a == b else phrase("rows_from_to", first=a, last=b) for a, b in parts]
    named += [phrase("more_rows", more=more)] if more else []
    listed = phrase("and").join(filter(None, (", ".join(named[:-1]), named[-1])))
    return phrase("rows_named", rows=listed) if len(rows) + more > 1 else phrase("row_named", row=listed)


def place(path: Path, row: int, column: str) -> str:
    """Name a place in a table."""
    parts = (f"row {row}" if row else "", f"column {printable(column)}" if column else "")
    return f"{printable(str(path))}{' ' if row or column else ''}{', '.join(filter(None, parts))}"


def lines_of(file: TextIO) -> Iterator[str]:
    """Give the lines of a file, read in blocks: asking for one line after the other takes twice as long."""
    seen = 0
    while block := file.read(_BLOCK):
        block += file.readline(LONGEST_LINE + 1)
        lines = io.StringIO(block, newline="").readlines()
        if "\0" in block or max(map(len, lines)) > LONGEST_LINE:
            for number, line in enumerate(lines, seen + 1):
                if "\0" in line:
                    raise TableError(TableProblem(number, "", NO_TEXT, NO_TEXT_REMEDY))
                if len(line) > LONGEST_LINE:
                    problem = LONG_LINE.format(most=LONGEST_LINE)
                    raise TableError(TableProblem(number, "", problem, LONG_LINE_REMEDY))
        yield from lines
        seen += len(lines)
