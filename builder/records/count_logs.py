"""Reads the log of a run: a CSV table with a row an interval.

| column | holds |
|---|---|
| `seconds` | time at the end of the row's interval, in seconds from the start of the log; it increases |
| `phase` | what the counter breathed: `ambient` (room air), `mask`, or `purge` (while the hose is flushed) |
| `exercise` | what the wearer did in a mask phase, such as `talking`; may be empty; the column may be missing |
| `particles` | particles counted in the interval, a whole number |
| `concentration` | or, instead of `particles`, particles per cm³ |
| `flow_cm3_s` | with `concentration`, if known: sampled air in cm³ a second, which makes particle counts of it |

Each row's interval begins at the time of the row before, the first one's at 0. A log whose clock did not start at 0
loses its first row. A new phase or another exercise begins a new stretch.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from builder.fit.arrays import BoolArray, FloatArray
from builder.fit.counts.run_log import KINDS, MASK, NO_PURGE, Purge, Rows, RunLog, TooManyStretchesError, read_log
from builder.records.csv_tables import TableError, TableProblems, chunks_of, header_of, not_utf8, rows_of
from builder.records.nearest_words import nearest, plain
from builder.records.problems import quoted
from builder.records.vocabulary import Exercise

Ints = NDArray[np.int_]

COLUMNS = ("seconds", "phase", "exercise", "particles", "concentration", "flow_cm3_s")

EXERCISES = ("", *(word.value for word in Exercise))
"""What the exercises of a log are numbered by."""

# The largest value that can be meant: the limits of an entry, and for times any clock that counts seconds.
_MOST = {"seconds": 1e11, "particles": 1e12, "concentration": 1e9, "flow_cm3_s": 1e6}


@dataclass(frozen=True)
class _Column:
    """The texts of a column in a chunk, and the numbers of their rows."""

    name: str
    texts: Sequence[str]
    rows: Sequence[int]


def read_counts(path: Path, purge: Purge = NO_PURGE) -> RunLog | TableProblems:
    """Read a log in bounded memory, or give all that is wrong with it."""
    problems = TableProblems()
    try:
        with rows_of(path) as rows:
            log = read_log(_read(rows, problems), purge)
    except TableError as error:
        problems.append(error.problem)
    except TooManyStretchesError as error:
        problems.add(0, "", str(error), "A run has some tens of phases: check the columns phase and exercise.")
    else:
        if not problems.total and not log.stretches:
            problems.add(0, "", "The table has no rows below its header.", "Add a row for each interval.")
    return problems if problems.total else log


def _read(rows: Iterator[list[str]], problems: TableProblems) -> Iterator[Rows]:
    """Read chunk by chunk. Once there is a problem, rows are only checked."""
    header = header_of(rows, COLUMNS, ("seconds", "phase"), problems)
    _check_measure(header, problems)
    phases, exercises = _Numbered(KINDS), _Numbered(EXERCISES)
    for chunk in chunks_of(rows, len(header), problems):
        texts = dict(zip(header, zip(*chunk.rows, strict=True), strict=True))
        columns = {name: _Column(name, column, chunk.numbers) for name, column in texts.items()}
        no_exercise = _Column("exercise", ("",) * len(chunk.rows), chunk.numbers)
        values = {name: _numbers(columns[name], problems) for name in _MOST if name in columns}
        kind = _words(columns.get("phase", no_exercise), phases, problems)
        exercise = _words(columns.get("exercise", no_exercise), exercises, problems)
        if not problems.total:
            yield Rows(
                number=np.array(chunk.numbers),
                seconds=values["seconds"],
                kind=kind,
                exercise=np.where(kind == MASK, exercise, 0),
                amount=values["particles" if "particles" in values else "concentration"],
                concentration="concentration" in values,
                flow=values.get("flow_cm3_s"),
            )


def _check_measure(header: Sequence[str], problems: TableProblems) -> None:
    if "particles" not in header and "concentration" not in header:
        remedy = "Add the column particles, or concentration, with flow_cm3_s if known."
        problems.add(1, "", "There is no column of particles.", remedy)
    elif "particles" in header and "concentration" in header:
        problems.add(1, "", "There are particles and concentration.", "Keep one: particles, if the counter gives them.")
    elif "particles" in header and "flow_cm3_s" in header:
        problems.add(1, "flow_cm3_s", "The flow means nothing beside particles.", "Delete the column flow_cm3_s.")


class _Numbered(dict[str, int]):
    """The places of words in a list, -1 for others. Case, hyphens and spaces do not matter."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__((word, number) for number, word in enumerate(words))
        self.words = tuple(words)

    def __missing__(self, text: str) -> int:
        word = plain(text)
        return self.get(word, -1)


def _words(column: _Column, numbered: _Numbered, problems: TableProblems) -> Ints:
    """Give the places of a column's words in their list, and note those that are not on it."""
    places = np.array([numbered[text] for text in column.texts], dtype=int)

    def describe(text: str) -> tuple[str, str]:
        near = nearest(plain(text), numbered.words)
        known = ", ".join(filter(None, numbered.words))
        return f"is no {column.name}.", f"Did you mean {near[0]}?" if near else f"Write one of: {known}."

    _note(places < 0, column, problems, describe)
    return places


def _numbers(column: _Column, problems: TableProblems) -> FloatArray:
    """Give a column's numbers, and note what is none or cannot be meant."""
    try:
        values = np.array(list(map(float, column.texts)))
    except ValueError:
        values = np.array([_number(text) for text in column.texts])
    if "_" in "".join(column.texts):  # Python alone reads 1_000 as a number
        values[["_" in text for text in column.texts]] = np.nan
    for found in _wrong_values(column.name, values):
        _note(found.wrong, column, problems, found.describe)
    return values


@dataclass(frozen=True)
class _WrongValues:
    """Which values of a column are wrong, what they are not, and what to do."""

    wrong: BoolArray
    problem: str
    remedy: str

    def describe(self, _: str) -> tuple[str, str]:
        return self.problem, self.remedy


def _wrong_values(name: str, values: FloatArray) -> Iterator[_WrongValues]:
    finite = np.isfinite(values)
    yield _WrongValues(~finite, "is no number.", "Write a number with a decimal point, such as 12.5.")
    yield _WrongValues(finite & (values < 0), "is below 0.", "Write 0 or more.")
    yield _WrongValues(finite & (values > _MOST[name]), f"is above {_MOST[name]:.0e}.", "Check the unit of the column.")
    if name == "particles":
        remedy = "Counts are whole. If these are particles per cm³, call the column concentration."
        yield _WrongValues(finite & (values != np.floor(values)), "is no whole number.", remedy)
    if name == "flow_cm3_s":
        yield _WrongValues(values == 0, "is no flow.", "Write the sampled air in cm³ a second, or delete the column.")


def _note(
    wrong: BoolArray, column: _Column, problems: TableProblems, describe: Callable[[str], tuple[str, str]]
) -> None:
    """Note the values of a column that are wrong. `describe` says of a text what it is not, and what to do."""
    places = np.flatnonzero(wrong).tolist()

    def problem(number: int) -> tuple[str, str]:
        text = column.texts[places[number]]
        if not_utf8(text):
            return f"{quoted(text)} holds bytes that are no UTF-8.", "Save the table as CSV in UTF-8."
        said, remedy = describe(text)
        return f"{quoted(text)} {said}", remedy

    problems.add_all([column.rows[place] for place in places], column.name, problem)


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return math.nan
