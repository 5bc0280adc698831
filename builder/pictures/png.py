"""Drawings as PNG files: few colours, small, the same bytes each time.

A picture is written in bands, one below the other: the same heads, titles and feet stand in thousands, and each is
drawn and packed once.

PNG: Portable Network Graphics (PNG) Specification, third edition, W3C Recommendation, 2025. Packed data: RFC 1950,
RFC 1951.
"""

from __future__ import annotations

import struct
import zlib
from bisect import bisect_right
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

import numpy as np
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
"""Of packing, from 1 to 9: with 6 files are 3 % smaller, and packing takes a third longer."""
_MODULUS = 65521
"""Of an Adler-32 checksum (RFC 1950, 8.2)."""


def as_png(drawing: Drawing, width: int = 0) -> bytes:
    """Write a drawing as PNG, `width` pixels wide, or as wide as it is.

    Texts must be in letters of the font: see `lettering.written`.
    """
    factor = width / drawing.width if width else 1.0
    width, height = width or drawing.width, round(drawing.height * factor)
    shapes = tuple(shape for shape in flat(drawing.shapes) if not isinstance(shape, Group | Link))
    more = tuple(sorted({shape.ink for shape in shapes} - {Ink.PAPER, *_CARD_INKS}))
    check, packed = 1, []
    for band in _bands(shapes, factor, height):
        rows = _packed(band, factor, more, width)
        check = _joined(check, rows.check, (band.bottom - band.top) * (width + 1))
        packed.append(rows.data)
    last = zlib.compressobj(_EFFORT, wbits=-zlib.MAX_WBITS).flush()
    head = struct.pack(">IIBBBBB", width, height, 8, 3, 0, 0, 0)
    return b"".join(
        [
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", head),
            _chunk(b"PLTE", bytes(_palette(more).getpalette() or ())),
            _chunk(b"IDAT", b"".join([b"\x78\x9c", *packed, last, struct.pack(">I", check)])),
            _chunk(b"IEND", b""),
        ]
    )


def forget_pngs() -> None:
    """Forget what was drawn: the colours are others now."""
    _palette.cache_clear()
    _packed.cache_clear()


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


class _Packed(NamedTuple):
    """Rows of a picture as a file has them, and the checksum of what is packed."""

    data: bytes
    check: int


@lru_cache(maxsize=4096)
def _packed(band: _Band, factor: float, more: tuple[Ink, ...], width: int) -> _Packed:
    """Draw a band of a picture so wide."""
    sheet = Image.new("RGB", (width, band.bottom - band.top), Ink.PAPER.light)
    for shape in band.shapes:
        for stamp in stamps(scaled(shape, factor)):
            sheet.paste(stamp.ink.light, (stamp.left, stamp.top - band.top), stamp.mask)
    inks = np.asarray(sheet.quantize(palette=_palette(more), dither=Image.Dither.NONE))
    # Each row begins with how it is filtered: not at all.
    rows = np.hstack([np.zeros((len(inks), 1), np.uint8), inks]).tobytes()
    # What is packed refers to nothing before it, so that it can stand anywhere.
    packing = zlib.compressobj(_EFFORT, wbits=-zlib.MAX_WBITS)
    return _Packed(packing.compress(rows) + packing.flush(zlib.Z_SYNC_FLUSH), zlib.adler32(rows))


def _joined(first: int, second: int, length: int) -> int:
    """Give the Adler-32 checksum of two runs of bytes by those of each; `length` is the second's."""
    low = (first % 2**16 + second % 2**16 - 1) % _MODULUS
    high = (first // 2**16 + second // 2**16 + length * (first % 2**16 - 1)) % _MODULUS
    return high * 2**16 + low


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


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
