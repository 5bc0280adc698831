"""Many ratios on one screen: a dot each, spread in a row a group, and below them what they come to together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from builder.pictures.chart_frame import AXIS, LEFT, RIGHT, WIDTH, Tick, beside, first_row, upright_axis
from builder.pictures.forest import Ratio, ratio_mark, ratio_marks
from builder.pictures.palette import Ink
from builder.pictures.scale import LogScale
from builder.pictures.shapes import Drawing, Group, Line, Shape
from builder.pictures.swarm import spread

DOT = 3.5
_MOST_HALF = 26.0
_LEAST_HALF = 8.0
_GAP, _BELOW = 10, 9


@dataclass(frozen=True)
class SwarmRow:
    """A group of ratios: what it is called, what its figures say, the ratios, and the middle one."""

    label: str
    figures: str
    ratios: tuple[Ratio, ...]
    middle: float


def contrast_swarm(
    rows: Sequence[SwarmRow], together: Sequence[Ratio], axis: tuple[float, Sequence[Tick], str], words: tuple[str, str]
) -> Drawing:
    """Draw groups on a log axis from 1/reach to reach, given with ticks and name; `words` are title and description.

    Each dot says on hovering what its ratio's `figures` say.
    """
    reach, ticks, name = axis
    scale = LogScale(1 / reach, reach, LEFT, RIGHT)
    shapes: list[Shape] = []
    texts: list[Shape] = []
    y = start = first_row(len(rows) + len(together))
    for row in rows:
        written, end = beside(row.label, row.figures, y)
        texts += written
        offsets = spread([scale.x(ratio.value) for ratio in row.ratios], list(range(len(row.ratios))))
        low, high = min(offsets, default=0.0), max(offsets, default=0.0)
        reached = (high - low) / 2 + DOT
        half = min(_MOST_HALF, max(_LEAST_HALF, reached))
        middle = end + half + 2
        at = scale.x(row.middle)
        shapes.append(Line((at, middle - half), (at, middle + half), Ink.INK, 3))
        squeezed = min(1.0, half / reached)
        for ratio, offset in zip(row.ratios, offsets, strict=True):
            shapes.append(_dot(ratio, scale.x(ratio.value), middle + squeezed * (offset - (low + high) / 2)))
        y = middle + half + _GAP
    for ratio in together:
        written, end = beside(ratio.label, ratio.figures, y, bold=True)
        texts += written
        shapes += ratio_marks(ratio, scale, end + _BELOW)
        y = end + 2 * _BELOW
    shown = [tick for tick in ticks if 1 / reach <= tick.value <= reach]
    frame = upright_axis(scale, shown, 1.0, top=start, bottom=y, name=name)
    return Drawing(WIDTH, math.ceil(y + AXIS), *words, (*frame, *shapes, *texts))


def _dot(ratio: Ratio, x: float, y: float) -> Shape:
    return Group((ratio_mark(ratio, x, round(y, 1), Ink.CHANGED, DOT),), title=ratio.figures)
