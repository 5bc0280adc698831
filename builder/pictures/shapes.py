"""What a picture is made of: texts, lines, dots and areas in the site's own inks, on paper."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal, TypeAlias

Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]


class Ink(StrEnum):
    """The site's colours on paper, by what they are used for."""

    PAPER = "#fbfaf6"
    INK = "#1c2b30"
    MUTED = "#54646a"
    LINE = "#d8d6cb"
    BRAND = "#0e5a63"
    PASS = "#9a4516"
    SOLD = "#5b6b78"
    SOLD_RANGE = "#a3abb1"
    CHANGED = "#0b7285"
    CHANGED_RANGE = "#77afb8"


@dataclass(frozen=True)
class Text:
    """One line of text; `y` is its baseline, `size` in pixels."""

    x: float
    y: float
    text: str
    size: int
    ink: Ink = Ink.INK
    anchor: Anchor = "start"
    bold: bool = False


@dataclass(frozen=True)
class Line:
    """An upright or level line from one point to another."""

    start: Point
    end: Point
    ink: Ink
    width: int = 2
    dash: int = 0
    """Length of its dashes and of the gaps between them, 0 for none."""


@dataclass(frozen=True)
class Dot:
    """A disc, or a ring where it is open."""

    x: float
    y: float
    radius: float
    ink: Ink
    is_open: bool = False


@dataclass(frozen=True)
class Area:
    """A filled polygon."""

    points: tuple[Point, ...]
    ink: Ink


Shape: TypeAlias = Text | Line | Dot | Area

RING = 4
"""Width of an open dot's ring."""


@dataclass(frozen=True)
class Drawing:
    """Shapes on paper, the later ones above the earlier; `title` and `description` say the same in words."""

    width: int
    height: int
    title: str
    description: str
    shapes: tuple[Shape, ...]


def box(left: float, top: float, right: float, bottom: float, ink: Ink) -> Area:
    """Make a filled rectangle."""
    return Area(((left, top), (right, top), (right, bottom), (left, bottom)), ink)
