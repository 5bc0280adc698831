"""The row of a log that names its columns, or what stands for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from builder.records.logs.log_numbers import NumberForm, decided_mark, numbers
from builder.records.logs.log_text import ALIGNED, cells_of, is_comment
from builder.records.logs.log_times import is_clock
from builder.records.logs.log_words import NamedColumn, Role, is_unit, named_column, said_phase

HEADER_WITHIN = 300
"""A header stands in one of so many lines."""

DELIMITERS = (",", ";", "\t", "|", ALIGNED, " ")
"""What may part cells; `" "` stands for any white space."""

FITS, FITS_ALL = 0.5, 0.25
"""What rows below a header count, in roles: one that has as many cells, or one more or less; all with just as many."""

LONGEST_OF_WORDS = 5000
_NO_UNIT = ("", "-", "–", "[]", "()", "[-]", "(-)", "[–]", "(–)")


@dataclass(frozen=True)
class LogHeader:
    """The names of the columns, in line `line`, 0 where nothing names them; `above` lines stand over the first row."""

    line: int
    above: int
    delimiter: str
    names: Sequence[str]
    found: Sequence[NamedColumn | None]


def find_header(lines: Sequence[str]) -> LogHeader | None:
    """Find the header, or take a table that has none for one without names. None for neither."""
    return _header_in(lines) or _no_header(lines)


def _header_in(lines: Sequence[str]) -> LogHeader | None:
    """Find the line that names most columns, with any delimiter; the first of those that do."""
    best, most = None, 1.0
    for delimiter in DELIMITERS:
        for number, line in enumerate(lines[:HEADER_WITHIN], 1):
            if not line.strip() or (len(line) > LONGEST_OF_WORDS and delimiter == " "):
                continue
            for above, names in _candidates(lines, number, delimiter):
                found = [named_column(name) for name in names]
                roles = {named.role for named in found if named}
                score = _score(roles, lines[above : above + 4], delimiter, names) if len(roles) > 1 else 0.0
                if score > most:
                    best, most = LogHeader(number, above, delimiter, names, found), score
    if best is None:
        return None
    units = _names(lines[best.above], best.delimiter) if best.above < len(lines) else []
    units = ["" if unit.strip() in _NO_UNIT else unit for unit in units]
    if 1 < len(units) <= len(best.names) and any(units) and all(not unit or is_unit(unit) for unit in units):
        units = [*units, *([""] * (len(best.names) - len(units)))]
        found = [named_column(n, u) or named_column(n) for n, u in zip(best.names, units, strict=True)]
        best = replace(best, above=best.above + 1, found=found)
    return best


def _candidates(lines: Sequence[str], number: int, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Give the names in two lines of words, one above the other, then those in the first, with the lines above rows."""
    names = _names(lines[number - 1], delimiter)
    below = _names(lines[number], delimiter) if number < len(lines) and delimiter != " " else []
    if 1 < len(names) == len(below) and not any(cell[:1].isdecimal() for cell in (*names, *below)):
        yield number + 1, [f"{name} {more}".strip() for name, more in zip(names, below, strict=True)]
    yield number, names


def _score(roles: set[Role], below: Sequence[str], delimiter: str, names: Sequence[str]) -> float:
    """Count the roles of a header; rows that suit it count too.

    Words stand apart in any sentence, so with white space between the cells nothing else is a header. Tabs that leave a
    column without a name may be there to align.
    """
    width = len(names)
    rows = [line for line in below if line.strip() and not is_comment(line, delimiter)]
    widths = [len(cells_of(line, delimiter)) for line in rows]
    fits = any(abs(cells - width) <= (delimiter != " ") for cells in widths)
    if delimiter == " " and not fits:
        return 0.0
    return (
        len(roles)
        + FITS * fits
        + FITS_ALL * (fits and set(widths) == {width} and not (delimiter == "\t" and "" in names))
    )


def _no_header(lines: Sequence[str]) -> LogHeader | None:
    """Take a table without names for one where rows of one width hold a number or a time in each of some cells."""
    for delimiter in DELIMITERS:
        for number, line in enumerate(lines[:HEADER_WITHIN]):
            if not line.strip() or is_comment(line, delimiter):
                continue
            cells = [cell.strip() for cell in cells_of(line, delimiter)]
            form = NumberForm(decided_mark(cells) or ".")
            numeric = sum(is_clock(cell) or (bool(cell) and numbers([cell], form)[0] >= 0) for cell in cells)
            said = sum(said_phase(cell) is not None for cell in cells)
            if len(cells) > 1 and numeric > 1 and numeric + said + cells.count("") == len(cells):
                return LogHeader(0, number, delimiter, [""] * len(cells), [None] * len(cells))
    return None


def _names(line: str, delimiter: str) -> list[str]:
    """Cut a header into names; it may be written as a remark."""
    bare = line.lstrip("#%!/ ") if is_comment(line, delimiter) and not line.startswith("#" + delimiter) else line
    return cells_of(bare.rstrip("\r\n"), delimiter)
