"""Drawings as PNG files: few colours, small, the same bytes each time.

PNG: Portable Network Graphics (PNG) Specification, third edition, W3C Recommendation, 2025.
"""

from __future__ import annotations

import io
import math
from functools import lru_cache

import numpy as np
from PIL import Image, ImageColor, ImageDraw

from builder.pictures.lettering import DOTTED, bare, font
from builder.pictures.palette import Ink
from builder.pictures.shapes import (
    HALO,
    RING,
    Area,
    Box,
    Dot,
    Dots,
    Drawing,
    Group,
    Line,
    Lines,
    Link,
    Mark,
    Point,
    Shape,
    Text,
    flat,
)

_FINER = 4
"""Dots and areas are drawn so many times larger, then reduced: Pillow draws them with hard edges."""
_LEVELS = 4
"""Steps from paper to full ink at the edge of a letter. More make no visible difference, and larger files."""
_EDGE = 0.5
"""How far an edge of paper reaches beyond a shape."""
_ANCHORS = {"start": "ls", "middle": "ms", "end": "rs"}
_BEFORE = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""The share of a text that lies before the point it is anchored at."""
_DOT = 0.055
"""How far a dot above a letter is from it, as a share of the size; two dots are four times that apart."""


_CARD_INKS = (
    Ink.INK,
    Ink.MUTED,
    Ink.LINE,
    Ink.BRAND,
    Ink.PASS,
    Ink.SOLD,
    Ink.SOLD_RANGE,
    Ink.CHANGED,
    Ink.CHANGED_RANGE,
)
"""Inks that stand in every file's palette, so that most files share one."""


def as_png(drawing: Drawing) -> bytes:
    """Write a drawing as PNG. Texts must be in letters of the font: see `lettering.written`."""
    sheet = Image.new("RGB", (round(drawing.width), round(drawing.height)), Ink.PAPER.light)
    shapes = tuple(flat(drawing.shapes))
    for shape in shapes:
        _draw(sheet, shape)
    used = {shape.ink for shape in shapes if not isinstance(shape, Group | Link)}
    more = tuple(sorted(used - {Ink.PAPER, *_CARD_INKS}))
    file = io.BytesIO()
    sheet.quantize(palette=_palette(more), dither=Image.Dither.NONE).save(file, "PNG", compress_level=6)
    return file.getvalue()


def forget_pngs() -> None:
    """Forget what was drawn: the colours are others now."""
    _palette.cache_clear()


def _draw(sheet: Image.Image, shape: Shape) -> None:
    match shape:
        case Text():
            _write(sheet, shape)
        case Line() if shape.start[0] == shape.end[0] or shape.start[1] == shape.end[1]:
            for part in _dashes(shape):
                ImageDraw.Draw(sheet).rectangle(part, fill=shape.ink.light)
        case Line():
            _paste(sheet, (shape.start, shape.end), shape.ink, shape.width)
        case Lines():
            for points in shape.parts:
                _paste(sheet, points, shape.ink, shape.width)
        case Dot():
            _disc(sheet, (shape.x, shape.y), shape.radius, shape.ink)
            if shape.is_open:
                _disc(sheet, (shape.x, shape.y), shape.radius - RING, Ink.PAPER)
        case Dots():
            for point in shape.points:
                if shape.edged:
                    _disc(sheet, point, shape.radius + _EDGE, Ink.PAPER)
                _disc(sheet, point, shape.radius, shape.ink)
        case Area() | Mark() | Box():
            _polygon(sheet, shape)


def _polygon(sheet: Image.Image, shape: Area | Mark | Box) -> None:
    points = _outline(shape)
    if not isinstance(shape, Area) and shape.edged:
        _paste(sheet, (*points, points[0]), Ink.PAPER, 2 * _EDGE)
    _paste(sheet, points, shape.ink, 0)


def _outline(shape: Area | Mark | Box) -> tuple[Point, ...]:
    match shape:
        case Area(points):
            return points
        case Mark(left, top, outline):
            return tuple((left + x, top + y) for x, y in outline)
        case Box(left, top, right, bottom):
            return (left, top), (right, top), (right, bottom), (left, bottom)


def _write(sheet: Image.Image, text: Text) -> None:
    bold = max(1, text.size // 40) if text.bold else 0
    around = [(HALO // 2, Ink.PAPER)] if text.halo else []
    for stroke, ink in (*around, (0, text.ink)):
        mask, (left, top) = _letters(text.text, text.size, text.anchor, bold + stroke, text.turn)
        sheet.paste(ink.light, (round(text.x) + left, round(text.y) + top), mask)


# The same labels stand in thousands of pictures.
@lru_cache(maxsize=4096)
def _letters(text: str, size: int, anchor: str, stroke: int, turn: int) -> tuple[Image.Image, tuple[int, int]]:
    """Give a text's shape and where its corner lies from the point it is anchored at."""
    plain = bare(text)
    left, top, right, bottom = font(size).getbbox(plain, anchor=_ANCHORS[anchor], stroke_width=stroke)
    dots = _dots(text, plain, size, anchor, stroke)
    top = min([top, *(y - 3 * _DOT * size - stroke for _, y in dots)])
    corner = (int(left) - 1, int(top) - 1)
    mask = Image.new("L", (int(right) - corner[0] + 2, int(bottom) - corner[1] + 2))
    pen = ImageDraw.Draw(mask)
    at = (-corner[0], -corner[1])
    pen.text(at, plain, fill=255, font=font(size), anchor=_ANCHORS[anchor], stroke_width=stroke)
    for x, y in dots:
        pen.text((at[0] + x, at[1] + y), ".", fill=255, font=font(size), anchor="ms", stroke_width=stroke)
    return _turned(mask, corner, turn) if turn else (mask, corner)


def _dots(text: str, plain: str, size: int, anchor: str, stroke: int) -> list[tuple[float, float]]:
    """Give where the dots above letters stand, from the point that a text is anchored at."""
    letters, dots = font(size), []
    begin = -_BEFORE[anchor] * letters.getlength(plain)
    for place, (letter, under) in enumerate(zip(text, plain, strict=True)):
        if letter not in DOTTED:
            continue
        left, top, right, _ = letters.getbbox(under, anchor="ls")
        middle = begin + letters.getlength(plain[:place]) + (left + right) / 2
        dots += [(middle + side * _DOT * size, top - _DOT * size - stroke) for side in (-2, 2)]
    return dots


def _turned(mask: Image.Image, corner: tuple[int, int], turn: int) -> tuple[Image.Image, tuple[int, int]]:
    """Turn a mask around the point that its corner is counted from."""
    reach = math.ceil(math.hypot(mask.width + abs(corner[0]), mask.height + abs(corner[1])))
    around = Image.new("L", (2 * reach + 1, 2 * reach + 1))
    around.paste(mask, (reach + corner[0], reach + corner[1]))
    return around.rotate(-turn, Image.Resampling.BICUBIC), (-reach, -reach)


def _dashes(line: Line) -> list[tuple[int, int, int, int]]:
    """Give the rectangles that a line is made of, with whole edges so that they are crisp."""
    (x1, y1), (x2, y2) = sorted((line.start, line.end))
    width = max(1, round(line.width))
    half, more = width // 2, width - width // 2 - 1
    level = y1 == y2
    start, end = (round(x1), round(x2)) if level else (round(min(y1, y2)), round(max(y1, y2)))
    step = line.dash or end - start + 1
    across = round(y1 if level else x1)
    low, high = across - half, across + more
    parts = [(at, min(at + step, end + 1) - 1) for at in range(start, end + 1, 2 * step)]
    return [(a, low, b, high) if level else (low, a, high, b) for a, b in parts]


def _disc(sheet: Image.Image, centre: Point, radius: float, ink: Ink) -> None:
    corner = (int(centre[0] - radius) - 1, int(centre[1] - radius) - 1)
    side = int(2 * radius) + 4
    x, y = ((at - start) * _FINER for at, start in zip(centre, corner, strict=True))
    reach = radius * _FINER
    large = Image.new("L", (side * _FINER, side * _FINER))
    ImageDraw.Draw(large).ellipse((x - reach, y - reach, x + reach, y + reach), fill=255)
    sheet.paste(ink.light, corner, large.reduce(_FINER))


def _paste(sheet: Image.Image, points: tuple[Point, ...], ink: Ink, width: float) -> None:
    mask, corner = _painted(points, width)
    sheet.paste(ink.light, corner, mask)


@lru_cache(maxsize=1024)
def _painted(points: tuple[Point, ...], width: float) -> tuple[Image.Image, tuple[int, int]]:
    """Give the shape of a line so wide through points, filled between them where it is 0, and where its corner lies."""
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


@lru_cache(maxsize=16)
def _palette(more: tuple[Ink, ...]) -> Image.Image:
    """Give the inks of cards, and more of them, in their steps from paper."""
    paper = np.array(ImageColor.getrgb(Ink.PAPER.light))
    inks = np.array([ImageColor.getrgb(ink.light) for ink in (*_CARD_INKS, *more)])
    steps = np.arange(1, _LEVELS + 1)[:, np.newaxis, np.newaxis] / _LEVELS
    mixed = np.rint(paper + (inks - paper) * steps).astype(int)
    palette = Image.new("P", (1, 1))
    palette.putpalette([*paper.tolist(), *mixed.ravel().tolist()])
    return palette
