"""How well something seals beside how it is to wear: the farther right the tighter, the higher the more comfortable."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder.pictures.chart_frame import AXIS, RIGHT, WIDTH, Tick, upright_axis
from builder.pictures.palette import Ink
from builder.pictures.scale import LogScale
from builder.pictures.shapes import Dots, Drawing, Group, Line, Mark, Point, Shape, Text

LEFT, TOP, BOTTOM = 62, 44, 284
DOT = 5
SQUARE: tuple[Point, ...] = ((-6, -6), (6, -6), (6, 6), (-6, 6))
"""What is hard to breathe through."""
MARKS = "sb-comfort__marks"
"""Class of what a page's script draws again."""


@dataclass(frozen=True)
class WornMark:
    """One configuration: its fit factor, the share of donnings that were comfortable, and where it leads."""

    value: float
    comfortable: float
    hard: bool
    """Whether it was hard to breathe through in at least half of the donnings that tell."""
    sold: bool
    title: str
    address: str


@dataclass(frozen=True)
class ComfortAxes:
    """A log axis from 1 to `top` with a line at `mark`, and one of shares; what each is called, its labelled values."""

    top: float
    mark: float
    across: str
    ticks: Sequence[Tick]
    up: str
    shares: Sequence[Tick]


def comfort_field(marks: Sequence[WornMark], axes: ComfortAxes, most: int) -> tuple[Shape, ...]:
    """Draw axes and marks; `most` is how many marks there may be, which a page's script reads too."""
    scale = LogScale(1.0, axes.top, LEFT, RIGHT)
    level: list[Shape] = [Text(0, 12, axes.up, 12, Ink.MUTED)]
    for share in axes.shares:
        y = _y(share.value)
        level += [Line((LEFT, y), (RIGHT, y), Ink.LINE, 1), Text(0, y + 4, share.label, 12, halo=True)]
    axis = upright_axis(scale, axes.ticks, axes.mark, top=TOP, bottom=BOTTOM + 8, name=axes.across)
    frame = " ".join(f"{value:.0f}" for value in (LEFT, RIGHT, WIDTH, TOP, BOTTOM, axes.top, most))
    drawn = Group(tuple(_mark(one, scale) for one in marks[:most]), css=MARKS, data=("frame", frame))
    return (*level, *axis, drawn)


def comfort_picture(shapes: tuple[Shape, ...], title: str, description: str) -> Drawing:
    """Make a drawing of it."""
    return Drawing(WIDTH, BOTTOM + 8 + AXIS, title, description, shapes)


def _mark(one: WornMark, scale: LogScale) -> Group:
    ink = Ink.SOLD if one.sold else Ink.CHANGED
    at = scale.x(one.value), round(_y(one.comfortable), 1)
    shape: Shape = Mark(*at, SQUARE, ink, edged=True) if one.hard else Dots((at,), DOT, ink, edged=True)
    return Group((shape,), title=one.title, address=one.address)


def _y(share: float) -> float:
    return BOTTOM - share * (BOTTOM - TOP)
