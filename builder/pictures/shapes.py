"""What a picture is made of: texts, lines, dots, areas and groups of them, in inks of the palette, on paper.

A shape's `css` is its class within pages. It does nothing in files.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any, Literal, TypeAlias

from builder.pictures.palette import Ink

Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]

RING = 4
"""Width of an open dot's ring."""
HALO = 4
"""Width of the paper around a text with a halo, half of it on each side of a letter's edge."""


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
    halo: bool = False
    """Whether paper surrounds its letters, so that they stay readable above other shapes."""
    turn: int = 0
    """Degrees it is turned by around its place, clockwise."""
    css: str = ""


@dataclass(frozen=True)
class Line:
    """A line from one point to another. A PNG has dashes in upright and level ones only."""

    start: Point
    end: Point
    ink: Ink
    width: float = 2
    dash: int = 0
    """Length of its dashes and of the gaps between them, 0 for none."""
    css: str = ""


@dataclass(frozen=True)
class Lines:
    """Open lines alike, each through its points."""

    parts: tuple[tuple[Point, ...], ...]
    ink: Ink
    width: float = 2
    css: str = ""


@dataclass(frozen=True)
class Dot:
    """A disc, or a ring where it is open."""

    x: float
    y: float
    radius: float
    ink: Ink
    is_open: bool = False
    css: str = ""


@dataclass(frozen=True)
class Dots:
    """Many discs alike, with a fine edge of paper where they are `edged`."""

    points: tuple[Point, ...]
    radius: float
    ink: Ink
    edged: bool = False
    css: str = ""


@dataclass(frozen=True)
class Area:
    """A filled polygon."""

    points: tuple[Point, ...]
    ink: Ink
    css: str = ""


@dataclass(frozen=True)
class Mark:
    """A small filled polygon at a place; its outline counts from there, and never becomes wider or narrower."""

    x: float
    y: float
    outline: tuple[Point, ...]
    ink: Ink
    edged: bool = False
    css: str = ""


@dataclass(frozen=True)
class Box:
    """A filled rectangle."""

    left: float
    top: float
    right: float
    bottom: float
    ink: Ink
    edged: bool = False
    css: str = ""
    data: tuple[str, str] | None = None
    """Name and value of what a page's script knows it by."""


@dataclass(frozen=True)
class Group:
    """Shapes that belong together; `hidden` keeps screen readers from them. Files have none of its words."""

    shapes: tuple[Shape, ...]
    hidden: bool = False
    css: str = ""
    title: str = ""
    """What a pointer that rests on it is told."""
    address: str = ""
    """Where it leads; its title is then what the link is called."""
    data: tuple[str, str] | None = None
    """Name and value of what a page's script knows it by."""


@dataclass(frozen=True)
class Link:
    """A clear sheet over what leads to an address, named by `label`. Files lead nowhere."""

    address: str
    label: str
    left: float
    top: float
    right: float
    bottom: float
    css: str = ""


Shape: TypeAlias = Text | Line | Lines | Dot | Dots | Area | Mark | Box | Group | Link


@dataclass(frozen=True)
class Drawing:
    """Shapes on paper, the later ones above the earlier; `title` and `description` say the same in words."""

    width: int
    height: int
    title: str
    description: str
    shapes: tuple[Shape, ...]


def flat(shapes: tuple[Shape, ...]) -> Iterator[Shape]:
    """Give shapes one by one, those of groups too."""
    for shape in shapes:
        if isinstance(shape, Group):
            yield from flat(shape.shapes)
        else:
            yield shape


def scaled(shape: Shape, factor: float) -> Shape:
    """Make a shape so many times as large, its letters and lines with it."""
    if factor == 1:
        return shape
    changed = {}
    for field in fields(shape):
        value = getattr(shape, field.name)
        if field.type == "int" and field.name != "turn":
            changed[field.name] = max(min(value, 1), round(value * factor))
        elif field.type != "int":
            changed[field.name] = _times(value, factor)
    return replace(shape, **changed)


def _times(value: Any, factor: float) -> Any:
    if isinstance(value, tuple):
        return tuple(_times(item, factor) for item in value)
    return value * factor if isinstance(value, float | int) and not isinstance(value, bool) else value
