"""How often predictions came true: a dot a group of them, larger for more, and the line they should stand on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from builder.pictures.chart_frame import AXIS, WIDTH, level_label
from builder.pictures.palette import Ink
from builder.pictures.shapes import Dots, Drawing, Line, Shape, Text

LEFT, RIGHT, TOP = 62, WIDTH - 10, 22
BOTTOM = 336
HEIGHT = BOTTOM + AXIS
_LETTERS = 12
_TICKS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)


@dataclass(frozen=True)
class Came:
    """One group of predictions: the chance predicted, the share that came true with its interval, and how many."""

    predicted: float
    share: float
    low: float
    high: float
    n: int

    @property
    def radius(self) -> float:
        """Radius of its dot."""
        return round(2 + math.sqrt(self.n) / 2, 1)


def reliability_frame(across: str, up: str) -> tuple[Shape, ...]:
    """Draw the two axes, from 0 to 100 %, with their headings, and the line where both are the same."""
    shapes: list[Shape] = []
    for share in _TICKS:
        label = f"{share:.0%}".replace("%", "\u202f%")
        shapes += [
            Line((_x(share), TOP), (_x(share), BOTTOM), Ink.LINE, 1),
            Line((LEFT, _y(share)), (RIGHT, _y(share)), Ink.LINE, 1),
            level_label(_x(share), BOTTOM + 16, label),
            Text(0, _y(share) + 4, label, _LETTERS, halo=True),
        ]
    return (
        *shapes,
        Line((_x(0), _y(0)), (_x(1), _y(1)), Ink.PASS, 2, dash=3),
        Text(0, 10, up, _LETTERS, Ink.MUTED),
        Text(RIGHT, BOTTOM + 36, across, _LETTERS, Ink.MUTED, "end"),
    )


def reliability_picture(groups: Sequence[Came], frame: tuple[Shape, ...], title: str, description: str) -> Drawing:
    """Draw groups of predictions in their frame."""
    shapes: list[Shape] = []
    for came in groups:
        x = _x(came.predicted)
        shapes += [
            Line((x, _y(came.low)), (x, _y(came.high)), Ink.CHANGED, 2),
            Dots(((x, _y(came.share)),), came.radius, Ink.CHANGED, edged=True),
        ]
    return Drawing(WIDTH, HEIGHT, title, description, (*frame, *shapes))


def _x(share: float) -> float:
    return LEFT + share * (RIGHT - LEFT)


def _y(share: float) -> float:
    return BOTTOM - share * (BOTTOM - TOP)
