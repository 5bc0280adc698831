"""Drawings as PNG files: few colours, small, the same bytes each time.

PNG: Portable Network Graphics (PNG) Specification, third edition, W3C Recommendation, 2025.
"""

from __future__ import annotations

import io
from functools import lru_cache

import numpy as np
from PIL import Image, ImageColor, ImageDraw

from builder.pictures.lettering import font
from builder.pictures.shapes import RING, Area, Dot, Drawing, Ink, Line, Point, Text

_FINER = 4
"""Dots and areas are drawn so many times larger, then reduced: Pillow draws them with hard edges."""
_LEVELS = 4
"""Steps from paper to full ink at the edge of a letter. More make no visible difference, and larger files."""
_ANCHORS = {"start": "ls", "middle": "ms", "end": "rs"}


# A site that is served while it is edited is built again and again, mostly with the same pictures.
@lru_cache(maxsize=8192)
def as_png(drawing: Drawing) -> bytes:
    """Write a drawing as PNG. Texts must be in letters of the font: see `lettering.written`."""
    sheet = Image.new("RGB", (drawing.width, drawing.height), Ink.PAPER)
    pen = ImageDraw.Draw(sheet)
    for shape in drawing.shapes:
        match shape:
            case Text():
                _write(sheet, shape)
            case Line():
                for part in _dashes(shape):
                    pen.rectangle(part, fill=shape.ink)
            case Dot():
                _dot(sheet, shape)
            case Area():
                mask, corner = _area(shape.points)
                sheet.paste(shape.ink, corner, mask)
    file = io.BytesIO()
    sheet.quantize(palette=_palette(), dither=Image.Dither.NONE).save(file, "PNG", compress_level=6)
    return file.getvalue()


def _write(sheet: Image.Image, text: Text) -> None:
    mask, (left, top) = _letters(text.text, text.size, text.anchor, text.bold)
    sheet.paste(text.ink, (round(text.x) + left, round(text.y) + top), mask)


# The same labels stand in thousands of pictures.
@lru_cache(maxsize=4096)
def _letters(text: str, size: int, anchor: str, bold: bool) -> tuple[Image.Image, tuple[int, int]]:
    """Give a text's shape and where its corner lies from the point it is anchored at."""
    stroke = max(1, size // 40) if bold else 0
    left, top, right, bottom = font(size).getbbox(text, anchor=_ANCHORS[anchor], stroke_width=stroke)
    corner = (int(left) - 1, int(top) - 1)
    mask = Image.new("L", (int(right) - corner[0] + 2, int(bottom) - corner[1] + 2))
    pen = ImageDraw.Draw(mask)
    at = (-corner[0], -corner[1])
    pen.text(at, text, fill=255, font=font(size), anchor=_ANCHORS[anchor], stroke_width=stroke)
    return mask, corner


def _dashes(line: Line) -> list[tuple[int, int, int, int]]:
    """Give the rectangles that a line is made of, with whole edges so that they are crisp."""
    (x1, y1), (x2, y2) = sorted((line.start, line.end))
    half, more = line.width // 2, line.width - line.width // 2 - 1
    level = y1 == y2
    start, end = (round(x1), round(x2)) if level else (round(min(y1, y2)), round(max(y1, y2)))
    step = line.dash or end - start + 1
    across = round(y1 if level else x1)
    low, high = across - half, across + more
    parts = [(at, min(at + step, end + 1) - 1) for at in range(start, end + 1, 2 * step)]
    return [(a, low, b, high) if level else (low, a, high, b) for a, b in parts]


def _dot(sheet: Image.Image, dot: Dot) -> None:
    corner = (int(dot.x - dot.radius) - 1, int(dot.y - dot.radius) - 1)
    _disc(sheet, dot, corner, dot.radius, dot.ink)
    if dot.is_open:
        _disc(sheet, dot, corner, dot.radius - RING, Ink.PAPER)


def _disc(sheet: Image.Image, dot: Dot, corner: tuple[int, int], radius: float, ink: Ink) -> None:
    side = int(2 * dot.radius) + 4
    large = Image.new("L", (side * _FINER, side * _FINER))
    centre = ((dot.x - corner[0]) * _FINER, (dot.y - corner[1]) * _FINER)
    reach = radius * _FINER
    ends = (centre[0] - reach, centre[1] - reach, centre[0] + reach, centre[1] + reach)
    ImageDraw.Draw(large).ellipse(ends, fill=255)
    sheet.paste(ink, corner, large.reduce(_FINER))


@lru_cache(maxsize=1024)
def _area(points: tuple[Point, ...]) -> tuple[Image.Image, tuple[int, int]]:
    corner = (int(min(x for x, _ in points)) - 1, int(min(y for _, y in points)) - 1)
    size = (int(max(x for x, _ in points)) - corner[0] + 2, int(max(y for _, y in points)) - corner[1] + 2)
    large = Image.new("L", (size[0] * _FINER, size[1] * _FINER))
    ImageDraw.Draw(large).polygon([((x - corner[0]) * _FINER, (y - corner[1]) * _FINER) for x, y in points], fill=255)
    return large.reduce(_FINER), corner


@lru_cache(maxsize=1)
def _palette() -> Image.Image:
    """Give each ink in its steps from paper."""
    paper = np.array(ImageColor.getrgb(Ink.PAPER))
    inks = np.array([ImageColor.getrgb(ink) for ink in Ink if ink is not Ink.PAPER])
    steps = np.arange(1, _LEVELS + 1)[:, np.newaxis, np.newaxis] / _LEVELS
    mixed = np.rint(paper + (inks - paper) * steps).astype(int)
    palette = Image.new("P", (1, 1))
    palette.putpalette([*paper.tolist(), *mixed.ravel().tolist()])
    return palette
