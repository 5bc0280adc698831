"""A face in a mask with what wearers noticed where they noticed it: the larger a disc, the more donnings leaked there.

The face looks at the reader, so that the wearer's left cheek is on the right.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Literal

from builder.pictures.palette import Ink
from builder.pictures.shapes import Anchor, Area, Dot, Drawing, Line, Lines, Mark, Point, Shape, Text

FacePlace = Literal["nose", "left-cheek", "right-cheek", "chin", "eyes", "glasses"]

WIDTH, HEIGHT = 320, 228
_MIDDLE = WIDTH / 2
_LEAKS: dict[FacePlace, Point] = {
    "nose": (_MIDDLE, 97),
    "right-cheek": (_MIDDLE - 44, 132),
    "left-cheek": (_MIDDLE + 44, 132),
    "chin": (_MIDDLE, 176),
}
_WORDS: dict[FacePlace, tuple[float, float, Anchor]] = {
    "glasses": (0, 16, "start"),
    "eyes": (WIDTH, 16, "end"),
    "nose": (WIDTH, 84, "end"),
    "right-cheek": (0, 134, "start"),
    "left-cheek": (WIDTH, 134, "end"),
    "chin": (_MIDDLE, 203, "middle"),
}
_LEADERS: dict[FacePlace, tuple[Point, Point]] = {"nose": ((_MIDDLE, 97), (WIDTH - 82, 88))}
_LEAST, _MOST = 4.0, 17.0
_LETTERS, _LINE = 14, 17


def leaking_face(
    shares: Mapping[FacePlace, float], words: Mapping[FacePlace, Sequence[str]], title: str, description: str
) -> Drawing:
    """Draw a face with a disc at each place that leaked, by its share of donnings, and up to two lines of words there.

    A share that is 0, or NaN where nothing is known, has no disc.
    """
    shapes: list[Shape] = [
        *_head(),
        *(Line(start, end, Ink.LINE, 1) for start, end in _LEADERS.values()),
        *_discs(shares),
    ]
    for place, lines in words.items():
        x, y, anchor = _WORDS[place]
        shapes += [
            Text(x, y + _LINE * n, line, _LETTERS, Ink.MUTED if n == 0 else Ink.INK, anchor, bold=n > 0, halo=True)
            for n, line in enumerate(lines)
        ]
    return Drawing(WIDTH, HEIGHT, title, description, tuple(shapes))


def _head() -> list[Shape]:
    outline = tuple(_oval(_MIDDLE, 98, 58, 86))
    mask: tuple[Point, ...] = (
        (_MIDDLE - 55, 112),
        (_MIDDLE - 26, 102),
        (_MIDDLE, 88),
        (_MIDDLE + 26, 102),
        (_MIDDLE + 55, 112),
        (_MIDDLE + 46, 152),
        (_MIDDLE + 24, 176),
        (_MIDDLE, 183),
        (_MIDDLE - 24, 176),
        (_MIDDLE - 46, 152),
    )
    eyes = [Mark(_MIDDLE + side * 22, 76, ((-8, 0), (0, -4), (8, 0), (0, 4)), Ink.EDGE) for side in (-1, 1)]
    return [
        Lines((outline,), Ink.EDGE, 2),
        *eyes,
        Area(mask, Ink.SUNK),
        Lines(((*mask, mask[0]),), Ink.EDGE, 2),
    ]


def _discs(shares: Mapping[FacePlace, float]) -> list[Shape]:
    """Draw discs whose area grows with the share."""
    return [
        Dot(*_LEAKS[place], _LEAST + (_MOST - _LEAST) * math.sqrt(share), Ink.PASS)
        for place, share in shares.items()
        if place in _LEAKS and share > 0
    ]


def _oval(x: float, y: float, wide: float, high: float) -> list[Point]:
    steps = 48
    angles = [2 * math.pi * n / steps for n in range(steps + 1)]
    return [(x + wide * math.cos(angle), y + high * math.sin(angle)) for angle in angles]
