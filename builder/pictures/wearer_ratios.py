"""One comparison over its wearers: what they say together, then a row each; many of them stand close and unnamed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from builder.pictures.chart_frame import AXIS, LEFT, RIGHT, WIDTH, Tick, beside, first_row, heading, upright_axis
from builder.pictures.forest import Ratio, ratio_marks
from builder.pictures.palette import Ink
from builder.pictures.scale import LogScale
from builder.pictures.shapes import Dots, Drawing, Line, Lines, Point, Shape

MOST_NAMED = 16
"""More wearers are drawn without their names, so that all of them stay on one screen."""
_BELOW, _GAP, _CLOSE = 9, 7, 8
_SMALL_DOT = 3.5


def wearer_ratios(
    together: Sequence[Ratio],
    each: Sequence[Ratio],
    axis: tuple[float, float, Sequence[Tick]],
    *,
    name: str,
    crowd: str,
    title: str,
    description: str,
) -> Drawing:
    """Draw ratios on a log axis with ends and ticks as given; intervals may leave it.

    `name` is the axis's, `crowd` stands above wearers who are too many to be named.
    """
    low, high, ticks = axis
    scale = LogScale(low, high, LEFT, RIGHT)
    named = len(each) <= MOST_NAMED
    rows = [*together, *(each if named else ())]
    words: list[Shape] = []
    marks: list[Shape] = []
    y = start = first_row(len(together) + len(each))
    for ratio in rows:
        written, end = beside(ratio.label, ratio.figures, y, bold=ratio.together)
        words += written
        marks += ratio_marks(ratio, scale, end + _BELOW)
        y = end + _BELOW + _GAP
    if not named:
        written, end = heading(crowd, y)
        words += written
        for number, ratio in enumerate(each):
            marks += ratio_marks(ratio, scale, end + _BELOW + _CLOSE * number, _SMALL_DOT)
        y = end + _BELOW + _CLOSE * len(each)
    lines = upright_axis(scale, ticks, 1.0, top=start, bottom=y, name=name)
    return Drawing(WIDTH, math.ceil(y + AXIS), title, description, (*lines, *_drawn_together(marks), *words))


def _drawn_together(marks: Sequence[Shape]) -> Iterator[Shape]:
    """Draw lines alike as one shape, and dots alike: there are many wearers, and no two stand on one another."""
    lines: dict[tuple[Ink, float], list[tuple[Point, ...]]] = {}
    dots: dict[tuple[Ink, float], list[Point]] = {}
    others: list[Shape] = []
    for mark in marks:
        match mark:
            case Line(start, end, ink, width):
                lines.setdefault((ink, width), []).append((start, end))
            case Dots(points, radius, ink):
                dots.setdefault((ink, radius), []).extend(points)
            case _:
                others.append(mark)
    yield from (Lines(tuple(parts), ink, width) for (ink, width), parts in lines.items())
    yield from others
    yield from (Dots(tuple(points), radius, ink, edged=True) for (ink, radius), points in dots.items())
