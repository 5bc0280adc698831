"""Texts as pixels, set from letters that are each drawn once: every one stands on a whole pixel."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from builder.pictures.lettering import DOTTED, bare, font
from builder.pictures.shapes import Anchor

_BEFORE: dict[Anchor, float] = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""The share of a text that lies before the point it is anchored at."""
_DOT = 0.055
"""How far a dot above a letter is from it, as a share of the size; two dots are four times that apart."""

PlacedShape = tuple[Image.Image, tuple[int, int]]
"""A shape in levels of grey, and where its corner lies from the point it is placed by."""


class _Letter(NamedTuple):
    levels: NDArray[np.uint8]
    left: int
    top: int
    right: int
    bottom: int
    """Where it lies from the point it stands at."""
    advance: int
    """From this point to that of the next letter."""


def lettered(text: str, size: int, anchor: Anchor, stroke: int, turn: int) -> PlacedShape:
    """Give a text's shape, grown by a stroke and turned, by the point it is anchored at."""
    plain = bare(text)
    letters = [_letter(character, size, stroke) for character in plain]
    before = _BEFORE[anchor] * sum([letter.advance for letter in letters])
    dots = _dots(text, plain, size, -before, stroke) if plain != text else []
    at = start = -math.ceil(before)
    placed, left, right = [], start, start
    for letter in letters:
        placed.append((at, letter))
        left, right = min(left, at + letter.left), max(right, at + letter.right)
        at += letter.advance
    left, right = left - 1, right + 1
    top = min([0, *[letter.top for letter in letters], *[int(y - 3 * _DOT * size - stroke) for _, y in dots]]) - 1
    bottom = max([letter.bottom for letter in letters], default=0) + 1
    levels = np.zeros((bottom - top, right - left), np.uint8)
    for at, letter in placed:
        part = levels[letter.top - top : letter.bottom - top, at + letter.left - left : at + letter.right - left]
        np.maximum(part, letter.levels, out=part)
    mask = Image.fromarray(levels)
    for x, y in dots:
        pen = ImageDraw.Draw(mask)
        pen.text((x - left, y - top), ".", fill=255, font=font(size), anchor="ms", stroke_width=stroke)
    return _turned(mask, (left, top), turn) if turn else (mask, (left, top))


@lru_cache(maxsize=2048)
def _letter(character: str, size: int, stroke: int) -> _Letter:
    left, top, right, bottom = map(int, font(size).getbbox(character, anchor="ls", stroke_width=stroke))
    mask = Image.new("L", (right - left, bottom - top))
    pen = ImageDraw.Draw(mask)
    pen.text((-left, -top), character, fill=255, font=font(size), anchor="ls", stroke_width=stroke)
    return _Letter(np.array(mask), left, top, right, bottom, int(font(size).getlength(character)))


def _dots(text: str, plain: str, size: int, begin: float, stroke: int) -> list[tuple[float, float]]:
    """Give where the dots above letters stand, from the point that a text is anchored at."""
    letters, dots = font(size), []
    for place, (letter, under) in enumerate(zip(text, plain, strict=True)):
        if letter not in DOTTED:
            continue
        left, top, right, _ = letters.getbbox(under, anchor="ls")
        middle = begin + letters.getlength(plain[:place]) + (left + right) / 2
        dots += [(middle + side * _DOT * size, top - _DOT * size - stroke) for side in (-2, 2)]
    return dots


def _turned(mask: Image.Image, corner: tuple[int, int], turn: int) -> PlacedShape:
    """Turn a mask around the point that its corner is counted from."""
    reach = math.ceil(math.hypot(mask.width + abs(corner[0]), mask.height + abs(corner[1])))
    around = Image.new("L", (2 * reach + 1, 2 * reach + 1))
    around.paste(mask, (reach + corner[0], reach + corner[1]))
    return around.rotate(-turn, Image.Resampling.BICUBIC), (-reach, -reach)
