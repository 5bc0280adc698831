"""The small picture in a table row: median and range on a log scale, one line marked. The style sheet paints it.

There are thousands in a site, so that shapes are told by their order: axis, mark, range, dot.

Pages draw the same in the browser from `GEOMETRY`.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.pictures.palette import Ink
from builder.pictures.scale import LogScale
from builder.pictures.shapes import Dot, Drawing, Line, Lines, Shape, Text

GEOMETRY = {"width": 160, "height": 18, "margin": 5, "dot": 4, "arrow": 4}
"""Size and margin of a strip, radius of its dot, half the height of its arrow, in its own units."""
_WIDTH, _HEIGHT, _MARGIN = GEOMETRY["width"], GEOMETRY["height"], GEOMETRY["margin"]
_TICKS_HEIGHT, _TICKS_BASELINE, _LETTERS = 14, 11, 11


@dataclass(frozen=True)
class Reach:
    """What a strip shows: where an end is open, it is a lower limit."""

    low: float
    median: float
    high: float
    open_median: bool = False
    open_high: bool = False


def strip_scale(top: float) -> LogScale:
    """Make the scale of strips, from 1 to `top`."""
    return LogScale(1.0, top, _MARGIN, _WIDTH - _MARGIN)


def strip(reach: Reach, scale: LogScale, mark: float) -> Drawing:
    """Draw one row."""
    low, median, high = scale.x(reach.low), scale.x(reach.median), scale.x(reach.high)
    middle, arrow = _HEIGHT / 2, GEOMETRY["arrow"]
    at = scale.x(mark)
    shapes: list[Shape] = [
        Line((_MARGIN, middle), (_WIDTH - _MARGIN, middle), Ink.LINE, 1),
        Line((at, 1), (at, _HEIGHT - 1), Ink.PASS, 1.5, dash=2),
        Line((low, middle), (high, middle), Ink.CHANGED_RANGE, 3),
    ]
    if reach.open_high:
        points = ((high - 3, middle - arrow), (high + 2, middle), (high - 3, middle + arrow))
        shapes.append(Lines((points,), Ink.CHANGED, 2))
    css = "sb-strip__open" if reach.open_median else ""
    shapes.append(Dot(median, middle, GEOMETRY["dot"], Ink.CHANGED, reach.open_median, css))
    return Drawing(_WIDTH, _HEIGHT, "", "", tuple(shapes))


def strip_ticks(labels: dict[float, str], scale: LogScale, mark: float) -> Drawing:
    """Label values above a column of strips."""
    texts = [
        Text(
            scale.x(value),
            _TICKS_BASELINE,
            label,
            _LETTERS,
            Ink.MUTED,
            "middle",
            bold=True,
            css="sb-ticks__pass" if value == mark else "",
        )
        for value, label in labels.items()
    ]
    return Drawing(_WIDTH, _TICKS_HEIGHT, "", "", tuple(texts))
