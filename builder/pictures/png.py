"""Drawings as PNG files: few colours, small, the same bytes each time.

A picture is drawn in bands, one below the other: the same heads, titles and feet stand in thousands, and each is drawn
once.

PNG: Portable Network Graphics (PNG) Specification, third edition, W3C Recommendation, 2025.
"""

from __future__ import annotations

import io
from bisect import bisect_right
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageColor

from builder.pictures.palette import Ink
from builder.pictures.png_shapes import stamps
from builder.pictures.shapes import Drawing, Group, Link, Shape, flat, scaled

_LEVELS = 4
"""Steps from paper to full ink at the edge of a letter. More make no visible difference, and larger files."""
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
_EFFORT = 5
"""Of packing, from 1 to 9: with 6 files are a little smaller, and packing takes a third longer."""


def as_png(drawing: Drawing, width: int = 0) -> bytes:
    """Write a drawing as PNG, `width` pixels wide, or as wide as it is.

    Texts must be in letters of the font: see `lettering.written`.
    """
    factor = width / drawing.width if width else 1.0
    width, height = width or drawing.width, round(drawing.height * factor)
    shapes = tuple(shape for shape in flat(drawing.shapes) if not isinstance(shape, Group | Link))
    more = tuple(sorted({shape.ink for shape in shapes} - {Ink.PAPER, *_CARD_INKS}))
    sheet = Image.fromarray(np.vstack([_drawn(band, factor, more, width) for band in _bands(shapes, factor, height)]))
    sheet.putpalette(_palette(more).getpalette() or ())
    file = io.BytesIO()
    sheet.save(file, "PNG", compress_level=_EFFORT)
    return file.getvalue()


def forget_pngs() -> None:
    """Forget what was drawn: the colours are others now."""
    _palette.cache_clear()
    _drawn.cache_clear()


class _Band(NamedTuple):
    """Rows of a picture, and the shapes in them."""

    shapes: tuple[Shape, ...]
    top: int
    bottom: int
    """The row below the last."""


def _bands(shapes: tuple[Shape, ...], factor: float, height: int) -> Iterator[_Band]:
    """Part rows where none has any of two shapes. Empty ones are counted from 0, wherever they stand."""
    rows = [_rows(shape, factor) for shape in shapes]
    tops: list[int] = []
    bottoms: list[int] = []
    for top, bottom in sorted(rows):
        if not tops or top >= bottoms[-1]:
            tops.append(top)
            bottoms.append(bottom)
        bottoms[-1] = max(bottoms[-1], bottom)
    held: list[list[Shape]] = [[] for _ in tops]
    for shape, (top, _) in zip(shapes, rows, strict=True):
        held[bisect_right(tops, top) - 1].append(shape)
    done = 0
    for own, top, bottom in zip([*held, []], [*tops, height], [*bottoms, height], strict=True):
        start, end = (min(max(row, done), height) for row in (top, bottom))
        if done < start:
            yield _Band((), 0, start - done)
        if start < end:
            yield _Band(tuple(own), start, end)
        done = end


@lru_cache(maxsize=4096)
def _rows(shape: Shape, factor: float) -> tuple[int, int]:
    """Give the first row that a shape is drawn in and the one below its last."""
    own = stamps(scaled(shape, factor))
    return min((stamp.top for stamp in own), default=0), max((stamp.bottom for stamp in own), default=0)


@lru_cache(maxsize=512)
def _drawn(band: _Band, factor: float, more: tuple[Ink, ...], width: int) -> NDArray[np.uint8]:
    """Draw a band of a picture so wide; the number in the palette of each pixel, (rows, width)."""
    sheet = Image.new("RGB", (width, band.bottom - band.top), Ink.PAPER.light)
    for shape in band.shapes:
        for stamp in stamps(scaled(shape, factor)):
            sheet.paste(stamp.ink.light, (stamp.left, stamp.top - band.top), stamp.mask)
    return np.asarray(sheet.quantize(palette=_palette(more), dither=Image.Dither.NONE))


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
