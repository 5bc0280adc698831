"""Some shares beside each other for each of some rows: how far each bar is filled, and of how many."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from builder.pictures.chart_frame import WIDTH, heading
from builder.pictures.lettering import wrapped
from builder.pictures.palette import Ink
from builder.pictures.shapes import Box, Drawing, Shape, Text

_BAR, _SMALL, _LINE = 10, 12, 16
_BETWEEN = 0.05
"""Of the width, between the columns."""
_ROOM = 92
"""Pixels that a column's words have on a phone."""
_NEAR, _GAP = 5, 12


@dataclass(frozen=True)
class SharesRow:
    """What a row is called, and for each column its share, NaN where nothing is known, with what is written below."""

    label: str
    shares: tuple[tuple[float, str], ...]
    muted: bool = False


def share_bars(columns: Sequence[str], rows: Sequence[SharesRow], title: str, description: str) -> Drawing:
    """Draw the rows one below the other under the names of their columns."""
    names = [wrapped(name, _SMALL, _ROOM, 2) for name in columns]
    shapes: list[Shape] = [
        Text(_edges(n, len(columns))[0], 12 + _LINE * line, words, _SMALL, Ink.MUTED)
        for n, lines in enumerate(names)
        for line, words in enumerate(lines)
    ]
    y: float = 8 + _LINE * max(map(len, names))
    for row in rows:
        words, end = heading(row.label, y)
        top = end + _NEAR
        for n, (share, figure) in enumerate(row.shares):
            left, right = _edges(n, len(columns))
            shapes.append(Box(left, top, right, top + _BAR, Ink.SUNK))
            if share > 0:
                ink = Ink.SOLD if row.muted else Ink.CHANGED
                shapes.append(Box(left, top, left + share * (right - left), top + _BAR, ink))
            shapes.append(Text(left, top + _BAR + _LINE - 3, figure, _SMALL, Ink.MUTED))
        shapes += words
        y = top + _BAR + _LINE + _GAP
    return Drawing(WIDTH, math.ceil(y), title, description, tuple(shapes))


def _edges(column: int, columns: int) -> tuple[float, float]:
    wide = (1 - _BETWEEN * (columns - 1)) / columns
    left = column * (wide + _BETWEEN)
    return left * WIDTH, (left + wide) * WIDTH
