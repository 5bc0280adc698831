"""The text of a log, line by line in bounded memory, in whichever of the usual encodings it was saved."""

from __future__ import annotations

import codecs
import csv
import re
import sys
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import chain, islice
from pathlib import Path
from shutil import copyfileobj
from typing import BinaryIO, TextIO, cast

from builder.records.csv_tables import CHUNK_ROWS, RowChunk, TableError, TableProblem, lines_of
from builder.records.logs.log_messages import log_message

STANDARD_INPUT = "-"

ALIGNED = "  "
"""Stands for cells that are held apart by tabs, or by two spaces or more."""

_GAP = re.compile(r"[ ]*\t\s*| {2,}")

_LOOKED_AT = 4096
_MARKED = {codecs.BOM_UTF8: "utf-8-sig", codecs.BOM_UTF16_LE: "utf-16", codecs.BOM_UTF16_BE: "utf-16"}
_BLANK: tuple[list[str], ...] = ([], [""])
_COMMENTS = ("#", "//", "%", "!")


def _as_latin1(error: UnicodeError) -> tuple[str, int]:
    """Read bytes that are no UTF-8 as Latin-1: where a file has any, it was saved so."""
    if not isinstance(error, UnicodeDecodeError):
        raise error
    return error.object[error.start : error.end].decode("latin-1"), error.end


codecs.register_error("sealbook-latin-1", _as_latin1)


@contextmanager
def log_file(path: Path) -> Iterator[Path]:
    """Give a log as a file that can be read twice: standard input, named `-`, is kept until the end."""
    if str(path) != STANDARD_INPUT:
        yield path
        return
    with tempfile.NamedTemporaryFile(prefix="sealbook-log-") as kept:
        copyfileobj(sys.stdin.buffer, cast(BinaryIO, kept))
        kept.flush()
        yield Path(kept.name)


@contextmanager
def lines_from(path: Path) -> Iterator[Iterator[str]]:
    """Open a log and give its lines. Raises TableError for a file that is no text or cannot be read."""
    try:
        with path.open("rb") as raw:
            encoding = _encoding(raw.read(_LOOKED_AT))
        with path.open(encoding=encoding, errors="sealbook-latin-1", newline="") as file:
            yield lines_of(cast(TextIO, file))
    except OSError as error:
        problem = f"The file cannot be read: {error.strerror}."
        raise TableError(TableProblem(0, "", problem, "Check its path and who may read it.")) from error


def is_comment(line: str, delimiter: str) -> bool:
    """Whether a line is a remark."""
    return _remark(line, (*_COMMENTS, *(";" * (delimiter != ";"))))


def cells_of(line: str, delimiter: str) -> list[str]:
    """Cut one line into cells; `" "` stands for any white space, `"  "` for tabs and for two spaces or more."""
    if delimiter == " ":
        return line.split()
    if delimiter == ALIGNED:
        return _GAP.split(line.strip())
    return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])


def row_chunks(lines: Iterator[str], delimiter: str, first: int) -> Iterator[RowChunk]:
    """Cut lines into cells, chunk by chunk, each row with the number of its line; blank lines and remarks are left out.

    Raises TableError where quotation marks do not match.
    """
    marks = (*_COMMENTS, *(";" * (delimiter != ";")))
    while block := list(islice(lines, CHUNK_ROWS)):
        text = "".join(block)
        if '"' in text and delimiter not in (" ", ALIGNED):
            yield from _quoted_chunks(chain(block, lines), delimiter, first, marks)
            return
        numbers: Sequence[int] = range(first, first + len(block))
        first += len(block)
        if any(mark in text for mark in marks):
            kept = [(number, line) for number, line in zip(numbers, block, strict=True) if not _remark(line, marks)]
            numbers, block = [number for number, _ in kept], [line for _, line in kept]
        if delimiter in (" ", ALIGNED):
            rows = [cells_of(line, delimiter) for line in block]
        else:
            rows = list(_reader(block, delimiter))
        if [] in rows or [""] in rows:
            numbers = [number for number, row in zip(numbers, rows, strict=True) if row not in _BLANK]
            rows = [row for row in rows if row not in _BLANK]
        if rows:
            yield RowChunk(numbers, rows)


def _quoted_chunks(lines: Iterable[str], delimiter: str, first: int, marks: tuple[str, ...]) -> Iterator[RowChunk]:
    """Cut lines with quotation marks, of which several may be one row."""
    at = first - 1

    def kept() -> Iterator[str]:
        nonlocal at
        for line in lines:
            at += 1
            if not _remark(line, marks):
                yield line

    reader = _reader(kept(), delimiter)
    try:
        while found := [(at, row) for row in islice(reader, CHUNK_ROWS)]:
            whole = [(number, row) for number, row in found if row not in _BLANK]
            if whole:
                yield RowChunk([number for number, _ in whole], [row for _, row in whole])
    except csv.Error as error:
        problem = log_message("quotation", fault=error)
        raise TableError(TableProblem(at, "", problem, log_message("quotation_remedy"))) from None


def _remark(line: str, marks: tuple[str, ...]) -> bool:
    return line.lstrip().startswith(marks)


def _reader(lines: Iterable[str], delimiter: str) -> Iterator[list[str]]:
    return csv.reader(lines, delimiter=delimiter, skipinitialspace=True, strict=True)


def _encoding(start: bytes) -> str:
    for mark, encoding in _MARKED.items():
        if start.startswith(mark):
            return encoding
    even, odd = start[::2].count(0), start[1::2].count(0)
    if max(even, odd) > len(start) // 5 and min(even, odd) * 20 < max(even, odd):
        return "utf-16-le" if odd > even else "utf-16-be"
    return "utf-8"
