"""The one layout that every picture has: the mark, a title, rows or sentences, and what to keep in mind."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from builder.pictures.bars import LEFT, RIGHT, ROW, Axis, Bar, bar_rows
from builder.pictures.lettering import cut, fitted, width, wrapped
from builder.pictures.palette import Ink
from builder.pictures.shapes import Area, Box, Dot, Drawing, Line, Point, Shape, Text

WIDTH = 1200
PREVIEW_HEIGHT = 630
"""With a width of 1200 the shape that previews of links are shown in; common practice, no published standard."""
MOST_BARS = 4
"""Rows that a preview has room for."""

_ROOM, _TITLE_ROOM = 930, 800
"""Width of a line, less than the margins are apart: an SVG is read in another font, which may be wider when bold."""
_BRAND = 126
_BARS_TOP = 272
_FOOT, _LINE = 62, 30


def card(
    title: str,
    lead: str,
    *,
    name: str = "",
    description: str = "",
    bars: Sequence[Bar] = (),
    axis: Axis | None = None,
    sentences: Sequence[str] = (),
    no_promise: str,
    invented: str = "",
    source: str = "",
    height: int = 0,
    brand: str = "Sealbook",
) -> Drawing:
    """Lay out a picture as high as its rows, or `height` pixels. `source` says where its figures stand.

    `brand` is what the database calls itself, `no_promise` stands below its figures, `invented` marks invented ones;
    `name` and `description` are the whole of it in words, for whoever cannot see it.
    """
    bars = bars if axis else ()
    height = height or height_of(len(bars), source)
    shapes = _head(brand, invented)
    heading, size = fitted(title, 60, _TITLE_ROOM, 42)
    shapes.append(Text(LEFT, 168, heading, size, bold=True))
    shapes.append(Text(LEFT, 214, cut(lead, 28, _ROOM), 28, Ink.MUTED))
    if axis and bars:
        shapes += bar_rows(bars, axis, _BARS_TOP)
    y = _BARS_TOP + 28 + (ROW * len(bars) + 24 if bars else 0)
    for sentence in sentences:
        for line in wrapped(sentence, 36, _ROOM, 3):
            shapes.append(Text(LEFT, y, line, 36))
            y += 48
        y += 20
    shapes += _foot(height, source, no_promise)
    return Drawing(WIDTH, height, name, description, tuple(shapes))


def preview_height(width: int) -> int:
    """Give the height of a preview that is so wide."""
    return round(PREVIEW_HEIGHT * width / WIDTH)


def height_of(bars: int, source: str) -> int:
    """Give the height in pixels of a picture with so many rows, with or without its source."""
    return _BARS_TOP + ROW * bars + _FOOT + (_LINE if source else 0)


def _head(brand: str, invented: str) -> list[Shape]:
    left = RIGHT - width(invented, 26) - 60 if invented else RIGHT
    # Bold letters are wider than those that are measured.
    called, size = fitted(brand, 38, 0.85 * (left - _BRAND), 26)
    shapes: list[Shape] = [*_MARK, Text(_BRAND, 74, called, size, Ink.BRAND, bold=True)]
    if invented:
        middle = (left + RIGHT) / 2
        shapes += [Box(left, 36, RIGHT, 84, Ink.PASS), Text(middle, 69, invented, 26, Ink.PAPER, "middle")]
    return shapes


def _foot(height: int, source: str, no_promise: str) -> list[Shape]:
    rule = height - _FOOT - (_LINE if source else 0) + 6
    shapes: list[Shape] = [
        Line((LEFT, rule), (RIGHT, rule), Ink.LINE),
        Text(LEFT, rule + 34, no_promise, 22, Ink.MUTED),
    ]
    # An address that was cut would lead nowhere.
    if source and width(source, 22) <= _ROOM:
        shapes.append(Text(LEFT, rule + 34 + _LINE, source, 22, Ink.MUTED))
    return shapes


def _curve(edge: tuple[Point, Point, Point, Point], x: float, y: float, scale: float) -> list[Point]:
    """Give nine points of a cubic Bézier curve, both ends included, moved and enlarged."""
    t = np.linspace(0, 1, 9)[:, np.newaxis]
    a, b, c, d = (np.array(point) for point in edge)
    points = (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t**2 * (1 - t) * c + t**3 * d
    return [(round(x + px * scale, 1), round(y + py * scale, 1)) for px, py in points.tolist()]


def _mark(x: float, y: float, scale: float) -> tuple[Shape, ...]:
    """Draw the site's mark as `assets/images/mark.svg` has it."""
    edges: list[tuple[Point, Point, Point, Point]] = [
        ((4, 6.5), (8.5, 4.9), (12.5, 5.3), (16, 7.7)),
        ((16, 7.7), (19.5, 5.3), (23.5, 4.9), (28, 6.5)),
        ((28, 25.5), (23.5, 23.9), (19.5, 24.3), (16, 26.7)),
        ((16, 26.7), (12.5, 24.3), (8.5, 23.9), (4, 25.5)),
    ]
    outline = tuple(point for edge in edges for point in _curve(edge, x, y, scale))
    return Area(outline, Ink.BRAND), Dot(x + 16 * scale, y + 15.5 * scale, 5.2 * scale, Ink.PAPER)


_MARK = _mark(LEFT - 6, 26, 2)
