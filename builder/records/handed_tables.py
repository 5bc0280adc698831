"""A table as somebody hands it in: columns parted by commas, semicolons or tabs, in any of the usual encodings."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from builder.fit.counted import counted
from builder.records.csv_tables import QUOTATION, QUOTATION_REMEDY, TableError, TableProblem, TableProblems
from builder.records.logs.log_text import lines_from
from builder.records.nearest_words import nearest
from builder.records.problems import quoted

_DELIMITERS = (",", ";", "\t", "|")
_SAID = "sep="
"""Spreadsheets begin a file so to say what parts its columns."""

_LONGEST_SHOWN = 40


@dataclass(frozen=True)
class HandedTable:
    """The header as it is written, and the rows below with their numbers; the header of most tables is row 1."""

    header: Sequence[str]
    rows: Sequence[tuple[int, Sequence[str]]]
    delimiter: str
    header_row: int = 1


def read_table(path: Path, known: Callable[[str], bool], problems: TableProblems) -> HandedTable:
    """Read a whole table. What parts its columns is the mark by which most of them are `known`.

    Blank rows, and blank columns without a name, are left out. Rows of another width are noted. Raises TableError for
    a file without a header, that is no text or cannot be read, or in which quotation marks do not match.
    """
    with lines_from(path) as lines:
        first = next(lines, "")
        start = 1
        said = first.strip()[len(_SAID) :] if first.lower().startswith(_SAID) else ""
        if said or first.strip().lower() == _SAID:
            first, start = next(lines, ""), 2
        delimiter = said or max(_DELIMITERS, key=lambda mark: _known(first, mark, known))
        rows = _numbered(first, lines, delimiter, start)
        _, header = next(rows, (start, []))
        if not any(map(str.strip, header)):
            raise TableError(
                TableProblem(
                    start,
                    "",
                    "The file is empty." if not header else "The header is empty.",
                    "Begin with a row of column names; sealbook add --header prints those there are.",
                )
            )
        found = list(rows)
    named = [place for place, name in enumerate(header) if name.strip()]
    kept = [*named, *_unnamed(found, header)]
    table = [(number, row) for number, row in found if any(map(str.strip, row))]
    return HandedTable(
        [header[place].strip() for place in kept],
        [(number, [row[place] for place in kept]) for number, row in _whole(table, len(header), problems)],
        delimiter,
        start,
    )


def columns_of(
    table: HandedTable, known: Callable[[str], str | None], names: Sequence[str], problems: TableProblems
) -> list[str]:
    """Give the names of the columns as `known` spells them, "" for a column that there is none of, which is noted."""
    columns = []
    for name in table.header:
        column = known(name)
        if column is None:
            near = nearest(plain_name(name), list(map(plain_name, names)))
            meant = {plain_name(known_name): known_name for known_name in names}
            remedy = f"Did you mean {meant[near[0]]}?" if near else f"Known columns: {', '.join(names)}."
            shown = name if len(name) <= _LONGEST_SHOWN else f"{name[:_LONGEST_SHOWN]}…"
            problems.add(table.header_row, shown, f"There is no column {quoted(name)}.", remedy)
        columns.append(column or "")
    return columns


def plain_name(name: str) -> str:
    """Write the name of a column so that case, hyphens and spaces do not matter."""
    return name.strip().lower().replace("-", "_").replace(" ", "_")


def _known(line: str, delimiter: str, known: Callable[[str], bool]) -> int:
    try:
        return sum(map(known, next(csv.reader([line], delimiter=delimiter), [])))
    except csv.Error:
        return 0


def _numbered(first: str, lines: Iterator[str], delimiter: str, start: int) -> Iterator[tuple[int, list[str]]]:
    def all_lines() -> Iterator[str]:
        yield first
        yield from lines

    reader = csv.reader(all_lines(), delimiter=delimiter, strict=True)
    try:
        yield from enumerate(reader, start)
    except csv.Error as error:
        problem = QUOTATION.format(fault=error)
        raise TableError(TableProblem(reader.line_num + start - 1, "", problem, QUOTATION_REMEDY)) from None


def _unnamed(rows: Sequence[tuple[int, list[str]]], header: Sequence[str]) -> list[int]:
    """Give the columns without a name that hold something."""
    return [
        place
        for place, name in enumerate(header)
        if not name.strip() and any(row[place].strip() for _, row in rows if place < len(row))
    ]


def _whole(
    rows: Sequence[tuple[int, list[str]]], width: int, problems: TableProblems
) -> Iterator[tuple[int, list[str]]]:
    for number, row in rows:
        if len(row) < width or any(map(str.strip, row[width:])):
            problems.add(
                number,
                "",
                f"The row has {counted(len(row), 'value')}, the header has {width}.",
                "Give every row a value for each column, nothing between the marks where nothing is known; "
                "a decimal comma needs columns that are parted by semicolons.",
            )
        else:
            yield number, row[:width]
