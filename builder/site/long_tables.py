"""Long tables and lists in blocks: the first is open, the others are folded and cost nothing until they are opened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

BlockRow = TypeVar("BlockRow")

EACH = 50
"""Rows in a block: a few screens of a phone, drawn in less than a tenth of a second on a slow one."""
FILES = 30
"""Files in a block."""
FEW = 10
"""Rows too few to be folded away: they stay with those before them."""


@dataclass(frozen=True)
class TableBlock(Generic[BlockRow]):
    """Some rows of a long table, with the numbers of the first and of the last, counted from 1."""

    first: int
    last: int
    rows: Sequence[BlockRow]


def blocks(rows: Sequence[BlockRow], each: int = EACH, few: int = FEW) -> list[TableBlock[BlockRow]]:
    """Part rows into blocks of `each`, the last one longer by up to `few`; one empty block where there are none."""
    starts = [start for start in range(0, len(rows), each) if start == 0 or len(rows) - start > few]
    ends = [*starts[1:], len(rows)]
    return [TableBlock(start + 1, end, rows[start:end]) for start, end in zip(starts or [0], ends, strict=True)]
