"""Ratios with their intervals, a row each, and what they come to together; the line stands at no difference."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from builder.pictures.chart_frame import (
    AXIS,
    LEFT,
    RIGHT,
    WIDTH,
    Tick,
    beside,
    first_row,
    heading,
    lines_above,
    upright_axis,
)
from builder.pictures.palette import Ink
from builder.pictures.scale import LogScale
from builder.pictures.shapes import Dots, Drawing, Line, Mark, Point, Shape

RatioKind = Literal["exact", "at_least", "at_most", "mean", "expected"]

DOT = 4.5
_OUTLINES: dict[RatioKind, tuple[Point, ...]] = {
    "at_least": ((-4, -5), (5, 0), (-4, 5)),
    "at_most": ((4, -5), (-5, 0), (4, 5)),
    "mean": ((-7, 0), (0, -7), (7, 0), (0, 7)),
}
_PALE, _BAND = Ink.CHANGED_RANGE, 7
_UNDER, _BELOW, _GAP, _APART = 3, 9, 7, 10


@dataclass(frozen=True)
class Ratio:
    """One row: a ratio, or what is expected where only the interval counts. A limit that does not exist is None."""

    label: str
    figures: str
    value: float
    low: float | None
    high: float | None
    kind: RatioKind = "exact"
    group: str = ""
    """What stands above it and the rows after it that have the same."""
    expected: tuple[float, float] | None = None
    """Where it may lie somewhere else, as a pale band behind its interval."""

    @property
    def together(self) -> bool:
        """Whether it sums up the rows above."""
        return self.kind in {"mean", "expected"}


@dataclass(frozen=True)
class ForestChart:
    """Ratios and the height of each."""

    ratios: tuple[Ratio, ...]
    heights: tuple[float, ...]
    scale: LogScale
    axis: tuple[Shape, ...]
    words: tuple[Shape, ...]
    height: int


def forest_chart(
    ratios: Sequence[Ratio], reach: float, ticks: Sequence[Tick], name: str, *, even: bool = False
) -> ForestChart:
    """Place ratios one below the other on a log axis from 1/`reach` to `reach`; intervals may leave it.

    In an `even` chart every row is as high as the one of most words.
    """
    above = max((lines_above(ratio.label, ratio.figures) for ratio in ratios), default=0) if even else 0
    scale = LogScale(1 / reach, reach, LEFT, RIGHT)
    words: list[Shape] = []
    heights = []
    y = start = first_row(len(ratios))
    for number, ratio in enumerate(ratios):
        if number and ratio.group != ratios[number - 1].group:
            y += _APART
        if ratio.group and (not number or ratio.group != ratios[number - 1].group):
            written, end = heading(ratio.group, y)
            words += written
            y = end + _UNDER
        written, end = beside(ratio.label, ratio.figures, y, bold=ratio.together, above=above)
        words += written
        heights.append(end + _BELOW)
        y = end + _BELOW + _GAP
    shown = [tick for tick in ticks if 1 / reach <= tick.value <= reach]
    axis = tuple(upright_axis(scale, shown, 1.0, top=start, bottom=y, name=name))
    return ForestChart(tuple(ratios), tuple(heights), scale, axis, tuple(words), math.ceil(y + AXIS))


def forest_picture(chart: ForestChart, title: str, description: str) -> Drawing:
    """Draw a chart of ratios."""
    shapes = [
        shape
        for ratio, y in zip(chart.ratios, chart.heights, strict=True)
        for shape in ratio_marks(ratio, chart.scale, y)
    ]
    return Drawing(WIDTH, chart.height, title, description, (*chart.axis, *shapes, *chart.words))


def ratio_marks(ratio: Ratio, scale: LogScale, y: float, dot: float = DOT) -> list[Shape]:
    """Draw a ratio with its interval at a height, its dot with a radius of `dot`."""
    at = scale.x(ratio.value)
    low = at if ratio.low is None else scale.x(ratio.low)
    high = at if ratio.high is None else scale.x(ratio.high)
    ink = Ink.INK if ratio.together else Ink.CHANGED
    band = (
        [Line((scale.x(ratio.expected[0]), y), (scale.x(ratio.expected[1]), y), _PALE, _BAND)] if ratio.expected else []
    )
    shapes: list[Shape] = [*band, Line((low, y), (high, y), ink, 2)]
    if ratio.kind == "expected":
        return [*shapes, *(Line((end, y - 5), (end, y + 5), ink, 2) for end in (low, high))]
    return [*shapes, ratio_mark(ratio, at, y, ink, dot)]


def ratio_mark(ratio: Ratio, x: float, y: float, ink: Ink, dot: float) -> Shape:
    """Draw a ratio alone, as its kind is drawn; a dot has a radius of `dot`."""
    if ratio.kind in _OUTLINES:
        return Mark(x, y, _OUTLINES[ratio.kind], ink, edged=True)
    return Dots(((x, y),), dot, ink, edged=True)
