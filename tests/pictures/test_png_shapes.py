"""Shapes as pixels: each where it belongs, in its ink."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from builder.pictures.palette import Ink
from builder.pictures.png import as_png
from builder.pictures.png_shapes import stamps
from builder.pictures.shapes import Area, Box, Dot, Dots, Drawing, Group, Line, Lines, Mark, Point, Shape, Text

SQUARE: tuple[Point, ...] = ((-5, -5), (5, -5), (5, 5), (-5, 5))


def picture(*shapes: Shape) -> Image.Image:
    with Image.open(io.BytesIO(as_png(Drawing(100, 60, "", "", shapes)))) as image:
        return image.convert("RGB")


def colour(image: Image.Image, x: int, y: int) -> str:
    pixel = image.getpixel((x, y))
    assert isinstance(pixel, tuple)
    return "#" + bytes(int(part) for part in pixel).hex()


@pytest.mark.parametrize(
    ("shape", "inside", "outside"),
    [
        (Line((10, 30), (90, 30), Ink.INK, 3), (50, 30), (50, 34)),
        (Line((10, 30), (90, 30), Ink.INK, 3, dash=10), (12, 30), (25, 30)),
        (Line((10, 10), (90, 50), Ink.INK, 5), (50, 30), (50, 40)),
        (Lines((((10, 10), (50, 50), (90, 10)),), Ink.INK, 5), (30, 30), (50, 20)),
        (Dot(50, 30, 10, Ink.INK), (50, 30), (59, 39)),
        (Dot(50, 30, 10, Ink.INK, is_open=True), (58, 30), (50, 30)),
        (Dots(((20, 30), (80, 30)), 6, Ink.INK), (80, 30), (50, 30)),
        (Area(((10, 10), (90, 10), (50, 50)), Ink.INK), (50, 30), (15, 45)),
        (Mark(50, 30, SQUARE, Ink.INK), (53, 33), (60, 30)),
        (Box(10, 10, 90, 50, Ink.INK), (50, 30), (5, 30)),
        (Group((Box(10, 10, 90, 50, Ink.INK),)), (50, 30), (5, 30)),
    ],
    ids=lambda value: type(value).__name__,
)
def test_a_shape_is_inside_its_outline(shape: Shape, inside: tuple[int, int], outside: tuple[int, int]) -> None:
    image = picture(shape)
    assert colour(image, *inside) == Ink.INK.light
    assert colour(image, *outside) == Ink.PAPER.light


@pytest.mark.parametrize(
    "edged", [Dots(((50, 30),), 8, Ink.INK, edged=True), Mark(50, 30, SQUARE, Ink.INK, edged=True)]
)
def test_an_edge_of_paper_parts_a_shape_from_what_is_below(edged: Shape) -> None:
    below = Box(0, 0, 100, 60, Ink.CHANGED)
    drawn = picture(below, edged)
    bare = picture(below, Dots(((50, 30),), 8, Ink.INK) if isinstance(edged, Dots) else Mark(50, 30, SQUARE, Ink.INK))
    assert drawn.tobytes() != bare.tobytes()
    assert colour(drawn, 50, 30) == Ink.INK.light


def test_a_text_stands_at_its_place_and_is_turned_around_it() -> None:
    def extent(text: Text) -> tuple[int, int, int, int]:
        ink = picture(text).convert("L").point(lambda level: 255 if level < 128 else 0)
        box = ink.getbbox()
        assert box is not None
        return box

    left, top, right, bottom = extent(Text(50, 30, "HHH", 12))
    assert 50 <= left < 53
    assert bottom in {30, 31}
    up_left, up_top, up_right, up_bottom = extent(Text(50, 30, "HHH", 12, turn=-90))
    assert up_right in {50, 51}
    assert up_bottom in {29, 30}
    assert abs((up_bottom - up_top) - (right - left)) <= 1
    assert abs((up_right - up_left) - (bottom - top)) <= 1


def test_a_halo_is_paper_around_letters() -> None:
    below = Box(0, 0, 100, 60, Ink.CHANGED)
    plain, with_halo = (picture(below, Text(30, 40, "I", 30, halo=halo)) for halo in (False, True))

    def papers(image: Image.Image) -> int:
        return sum(colour(image, x, y) == Ink.PAPER.light for x in range(100) for y in range(60))

    assert papers(plain) == 0
    assert papers(with_halo) > 20


def test_a_line_is_as_wide_and_as_long_as_it_says_and_its_dashes_are_crisp() -> None:
    (level,) = stamps(Line((10, 30), (20, 30), Ink.INK, 3, dash=4))
    assert (level.left, level.top, level.bottom) == (10, 29, 32)
    assert level.mask.size == (11, 3)
    assert level.mask.crop((0, 1, 11, 2)).tobytes() == b"\xff" * 4 + b"\0" * 4 + b"\xff" * 3
    (upright,) = stamps(Line((30, 20), (30, 10), Ink.INK, 2))
    assert (upright.left, upright.top, upright.mask.size) == (29, 10, (2, 11))
    assert upright.mask.getextrema() == (255, 255)
