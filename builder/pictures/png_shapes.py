"""Each shape as pixels: what is stamped on paper in its ink, and where."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from itertools import product
from typing import NamedTuple

import numpy as np
from PIL import Image, ImageDraw

from builder.pictures.palette import Ink
from builder.pictures.png_letters import PlacedShape, lettered
from builder.pictures.shapes import HALO, RING, Area, Box, Dot, Dots, Line, Lines, Mark, Point, Shape, Text

_FINER = 4
"""Dots and areas are drawn so many times larger, then reduced: Pillow draws them with hard edges."""
_EDGE = 0.5
"""How far an edge of paper reaches beyond a shape."""


class Stamp(NamedTuple):
    """An ink, as much of it at each pixel as a mask says, whose corner lies there."""

    ink: Ink
    mask: Image.Image
    left: int
    top: int

    @property
    def bottom(self) -> int:
        """The row below it."""
        return self.top + self.mask.height


# A shape's rows are asked for before it is drawn.
@lru_cache(maxsize=256)
def stamps(shape: Shape) -> tuple[Stamp, ...]:
    """Give what is stamped for a shape, the later above the earlier; nothing for what holds others or leads away."""
    return tuple(_stamps(shape))


def _stamps(shape: Shape) -> Iterator[Stamp]:
    match shape:
        case Text():
            bold = max(1, shape.size // 40) if shape.bold else 0
            for stroke, ink in ((HALO // 2, Ink.PAPER), (0, shape.ink))[0 if shape.halo else 1 :]:
                mask, (left, top) = lettered(shape.text, shape.size, shape.anchor, bold + stroke, shape.turn)
                yield _placed(ink, (mask, (round(shape.x) + left, round(shape.y) + top)))
        case Line():
            straight = shape.start[0] == shape.end[0] or shape.start[1] == shape.end[1]
            drawn = _dashes(shape) if straight else _painted((shape.start, shape.end), shape.width)
            yield _placed(shape.ink, drawn)
        case Lines():
            for points in shape.parts:
                yield _placed(shape.ink, _painted(points, shape.width))
        case Dot():
            yield _placed(shape.ink, _disc((shape.x, shape.y), shape.radius))
            if shape.is_open:
                yield _placed(Ink.PAPER, _disc((shape.x, shape.y), shape.radius - RING))
        case Dots():
            reaches = [(shape.radius + _EDGE, Ink.PAPER)] if shape.edged else []
            for point, (radius, ink) in product(shape.points, (*reaches, (shape.radius, shape.ink))):
                yield _placed(ink, _disc(point, radius))
        case Area() | Mark() | Box():
            points = _outline(shape)
            if not isinstance(shape, Area) and shape.edged:
                yield _placed(Ink.PAPER, _painted((*points, points[0]), 2 * _EDGE))
            yield _placed(shape.ink, _painted(points, 0))


def _placed(ink: Ink, placed: PlacedShape) -> Stamp:
    mask, (left, top) = placed
    return Stamp(ink, mask, left, top)


def _outline(shape: Area | Mark | Box) -> tuple[Point, ...]:
    match shape:
        case Area(points):
            return points
        case Mark(left, top, outline):
            return tuple((left + x, top + y) for x, y in outline)
        case Box(left, top, right, bottom):
            return (left, top), (right, top), (right, bottom), (left, bottom)


def _dashes(line: Line) -> PlacedShape:
    """Give an upright or level line with its dashes, with whole edges so that they are crisp."""
    (x1, y1), (x2, y2) = sorted((line.start, line.end))
    width = max(1, round(line.width))
    level = y1 == y2
    start, end = (round(x1), round(x2)) if level else (round(min(y1, y2)), round(max(y1, y2)))
    low = round(y1 if level else x1) - width // 2
    along = np.arange(end - start + 1) // (line.dash or end - start + 1) % 2 == 0
    levels = np.tile(np.where(along, 255, 0).astype(np.uint8), (width, 1))
    return (Image.fromarray(levels), (start, low)) if level else (Image.fromarray(levels.T.copy()), (low, start))


def _disc(centre: Point, radius: float) -> PlacedShape:
    corner = (int(centre[0] - radius) - 1, int(centre[1] - radius) - 1)
    side = int(2 * radius) + 4
    x, y = ((at - start) * _FINER for at, start in zip(centre, corner, strict=True))
    reach = radius * _FINER
    large = Image.new("L", (side * _FINER, side * _FINER))
    ImageDraw.Draw(large).ellipse((x - reach, y - reach, x + reach, y + reach), fill=255)
    return large.reduce(_FINER), corner


def _painted(points: tuple[Point, ...], width: float) -> PlacedShape:
    """Give the shape of a line so wide through points, filled between them where it is 0."""
    more = math.ceil(width / 2)
    corner = (int(min(x for x, _ in points)) - 1 - more, int(min(y for _, y in points)) - 1 - more)
    right, bottom = (int(max(p[axis] for p in points)) - corner[axis] + 2 + more for axis in (0, 1))
    large = Image.new("L", (right * _FINER, bottom * _FINER))
    outline = [((x - corner[0]) * _FINER, (y - corner[1]) * _FINER) for x, y in points]
    if width:
        ImageDraw.Draw(large).line(outline, fill=255, width=max(1, round(width * _FINER)), joint="curve")
    else:
        ImageDraw.Draw(large).polygon(outline, fill=255)
    return large.reduce(_FINER), corner
