"""Files of one day that say much alike, parted: what all of them say, once, and what each says beside it.

They are parted as texts, line by line within their tables: nobody has to understand them for that, and none is changed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import dataclass

LEFT_OUT = "⋮"
"""Begins what a file says by itself: in place of the lines that it shares."""
_OVER_SEVERAL_LINES = ('"""', "'''")


@dataclass(frozen=True)
class _Table:
    """A table of a file: its head, "" before the first one, and its lines."""

    head: str
    lines: tuple[str, ...]

    @property
    def is_whole(self) -> bool:
        """Whether it is left as it is: one of several of a name, or without a line."""
        return self.head.startswith("[[") or not self.lines


def parted(files: Sequence[str]) -> tuple[str, list[str]] | None:
    """Give what all files say and what each says beside it, or None where they are better shown as they are.

    They are where they are fewer than two, where a text runs over several lines, which none could be taken out of, or
    where one says nothing of its own.
    """
    if len(files) < 2 or any(mark in file for file in files for mark in _OVER_SEVERAL_LINES):
        return None
    each = [list(_tables(file)) for file in files]
    shared = set.intersection(*({line for table in tables for line in _told(table)} for tables in each))
    alike = _written(_kept(table, shared) for table in each[0] if not table.is_whole)
    own = [
        _written(table if table.is_whole else _kept(table, set(_told(table)) - shared) for table in tables)
        for tables in each
    ]
    return (alike, [f"{LEFT_OUT}\n{text}" for text in own]) if alike and all(own) else None


def _tables(file: str) -> Iterator[_Table]:
    head, lines = "", list[str]()
    for line in file.splitlines():
        if line.startswith("["):
            if head or lines:
                yield _Table(head, tuple(lines))
            head, lines = line, []
        elif line:
            lines.append(line)
    yield _Table(head, tuple(lines))


def _told(table: _Table) -> Iterator[tuple[str, str]]:
    return ((table.head, line) for line in table.lines if not table.is_whole)


def _kept(table: _Table, wanted: Set[tuple[str, str]]) -> _Table | None:
    """Give a table with those of its lines that are wanted; None without any."""
    lines = tuple(line for line in table.lines if (table.head, line) in wanted)
    return _Table(table.head, lines) if lines else None


def _written(tables: Iterable[_Table | None]) -> str:
    """Write tables a line apart, each with its head."""
    shown = (("\n".join((table.head, *table.lines) if table.head else table.lines)) for table in tables if table)
    return "\n\n".join(shown)
