"""Dot and range on a log axis: the rows of a picture."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from builder.pictures.lettering import block, fitted
from builder.pictures.palette import Ink
from builder.pictures.scale import LogScale
from builder.pictures.shapes import Anchor, Area, Dot, Line, Shape, Text

LEFT, RIGHT = 60, 1140
"""The margins of a picture."""
ROW = 72
"""Height of a row."""
_LABEL_ROOM = 300
_AXIS_LEFT, _AXIS_RIGHT = 410, 800
_FIGURE_RIGHT, _FIGURE_ROOM = 995, 150
_DOT = 11


@dataclass(frozen=True)
class Axis:
    """A log axis from `low` to `high`, labelled at its ticks, with a broken line at `mark`."""

    low: float
    high: float
    mark: float
    ticks: tuple[tuple[float, str], ...]
    heading: str
    """What the figure of each row is."""

    @cached_property
    def scale(self) -> LogScale:
        """Where a value stands."""
        return LogScale(self.low, self.high, _AXIS_LEFT, _AXIS_RIGHT)


@dataclass(frozen=True)
class Bar:
    """One row: a label, a dot in its range, the dot's figure and up to two notes.

    An open middle is a lower limit, and so is an open high end.
    """

    label: str
    low: float
    middle: float
    high: float
    figure: str
    notes: tuple[str, ...]
    muted: bool = False
    open_middle: bool = False
    open_high: bool = False


def bar_rows(bars: Iterable[Bar], axis: Axis, top: float) -> list[Shape]:
    """Draw the axis's labels, then the rows from `top` on."""
    bars = list(bars)
    bottom = top + ROW * len(bars)
    shapes: list[Shape] = [Text(_FIGURE_RIGHT, top - 14, axis.heading, 22, Ink.MUTED, "end")]
    for value, label in axis.ticks:
        ink = Ink.PASS if value == axis.mark else Ink.MUTED
        shapes.append(Text(axis.scale.x(value), top - 14, label, 22, ink, "middle"))
    middles = [top + ROW * number + ROW // 2 for number in range(len(bars))]
    shapes += [Line((_AXIS_LEFT, middle), (_AXIS_RIGHT, middle), Ink.LINE) for middle in middles]
    shapes.append(
        Line((axis.scale.x(axis.mark), top - 4), (axis.scale.x(axis.mark), bottom), Ink.PASS, width=3, dash=6)
    )
    for bar, middle in zip(bars, middles, strict=True):
        shapes += _row(bar, axis, middle)
    return shapes


def _row(bar: Bar, axis: Axis, middle: float) -> list[Shape]:
    ink, pale = (Ink.SOLD, Ink.SOLD_RANGE) if bar.muted else (Ink.CHANGED, Ink.CHANGED_RANGE)
    low, at, high = axis.scale.x(bar.low), axis.scale.x(bar.middle), axis.scale.x(bar.high)
    shapes: list[Shape] = []
    if high > low:
        shapes.append(Line((low, middle), (high, middle), pale, width=8))
    if bar.open_high:
        # Beyond the dot, where the dot stands at the end of its range.
        base = max(high, at + _DOT + 3)
        shapes.append(Area(((base, middle - 9), (base + 12, middle), (base, middle + 9)), ink))
    shapes.append(Dot(at, middle, _DOT, ink, bar.open_middle))
    label, size = block(bar.label, _LABEL_ROOM, ((26, 2), (22, 2), (18, 3)))
    shapes += _block(label, LEFT, middle, size, Ink.INK)
    figure, size = fitted(bar.figure, 36, _FIGURE_ROOM, 24)
    shapes.append(Text(_FIGURE_RIGHT, middle + size // 3, figure, size, ink, "end", bold=size > 26))
    return shapes + _block(bar.notes, RIGHT, middle, 20, Ink.MUTED)


def _block(lines: tuple[str, ...], x: float, middle: float, size: int, ink: Ink) -> list[Shape]:
    """Set lines one below the other around a middle, from the left margin or to the right one."""
    step = round(size * 1.2)
    first = middle + size // 3 - step * (len(lines) - 1) / 2
    anchor: Anchor = "start" if x == LEFT else "end"
    return [Text(x, first + step * n, line, size, ink, anchor) for n, line in enumerate(lines)]
