"""A shape of another size is the same shape."""

from __future__ import annotations

from builder.pictures.palette import Ink
from builder.pictures.shapes import Box, Dot, Line, Lines, Text, scaled


def test_everything_but_words_and_turns_grows_and_shrinks() -> None:
    shapes = (
        Text(60, 30.5, "M", 22, Ink.INK, "end", bold=True, turn=-90),
        Line((0, 10), (100, 10), Ink.PASS, 2, dash=3),
        Lines((((0, 0), (50, 10)),), Ink.THREAD, 1),
        Dot(50, 9, 6, Ink.SOLD, is_open=True),
        Box(2, 4, 6, 8, Ink.LINE, edged=True, data=("cell", "3")),
    )
    assert tuple(scaled(shape, 0.5) for shape in shapes) == (
        Text(30, 15.25, "M", 11, Ink.INK, "end", bold=True, turn=-90),
        Line((0, 5), (50, 5), Ink.PASS, 1, dash=2),
        Lines((((0, 0), (25, 5)),), Ink.THREAD, 0.5),
        Dot(25, 4.5, 3, Ink.SOLD, is_open=True),
        Box(1, 2, 3, 4, Ink.LINE, edged=True, data=("cell", "3")),
    )
    assert tuple(scaled(shape, 1.0) for shape in shapes) == shapes


def test_a_dash_never_vanishes() -> None:
    dashed, whole = Line((0, 0), (9, 0), Ink.PASS, 2, dash=2), Line((0, 1), (9, 1), Ink.INK)
    assert [line.dash for shape in (dashed, whole) if isinstance(line := scaled(shape, 0.01), Line)] == [1, 0]
