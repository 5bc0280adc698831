"""Drawings as PNG files: their inks, their size, their bands, the same bytes each time."""

from __future__ import annotations

import io

from PIL import Image

from builder.pictures.palette import Ink
from builder.pictures.png import as_png
from builder.pictures.shapes import Box, Dot, Drawing, Lines, Link, Shape, Text


def picture(*shapes: Shape, width: int = 0) -> Image.Image:
    with Image.open(io.BytesIO(as_png(Drawing(100, 60, "", "", shapes), width))) as image:
        return image.convert("RGB")


def colour(image: Image.Image, x: int, y: int) -> str:
    pixel = image.getpixel((x, y))
    assert isinstance(pixel, tuple)
    return "#" + bytes(int(part) for part in pixel).hex()


def test_inks_beyond_those_of_cards_keep_their_colour() -> None:
    assert colour(picture(Box(0, 0, 100, 60, Ink.SHADE_3)), 50, 30) == Ink.SHADE_3.light


def test_links_leave_no_trace() -> None:
    assert picture(Link("a", "b", 0, 0, 50, 50)).tobytes() == picture().tobytes()


def test_the_same_drawing_gives_the_same_bytes() -> None:
    drawing = Drawing(
        100, 60, "", "", (Text(10, 40, "Wi", 20, turn=-45), Lines((((1, 1), (9, 30), (70, 3)),), Ink.INK))
    )
    first = as_png(drawing)
    assert as_png(drawing) == first


def test_shapes_in_bands_of_their_own_are_drawn_as_alone() -> None:
    high, low = Text(10, 14, "High", 12), Dot(50, 45.5, 8, Ink.BRAND)
    both = picture(low, high)
    assert both.crop((0, 0, 100, 30)).tobytes() == picture(high).crop((0, 0, 100, 30)).tobytes()
    assert both.crop((0, 30, 100, 60)).tobytes() == picture(low).crop((0, 30, 100, 60)).tobytes()
    assert both.tobytes() != picture().tobytes()


def test_the_later_of_shapes_in_one_band_is_above() -> None:
    ground, top = Box(10, 10, 90, 50, Ink.INK), Box(30, 0, 60, 30, Ink.BRAND)
    assert colour(picture(ground, top), 40, 20) == Ink.BRAND.light
    assert colour(picture(top, ground), 40, 20) == Ink.INK.light


def test_what_reaches_over_the_edge_is_cut_there() -> None:
    image = picture(
        Box(-20, -20, 20, 10, Ink.INK),
        Box(90, 50, 120, 90, Ink.BRAND),
        Dot(50, -40, 5, Ink.INK),
        Dot(50, 99, 5, Ink.INK),
    )
    assert image.size == (100, 60)
    assert [colour(image, *at) for at in ((0, 0), (99, 59), (50, 30))] == [
        Ink.INK.light,
        Ink.BRAND.light,
        Ink.PAPER.light,
    ]


def test_a_picture_is_as_wide_as_it_is_asked_for() -> None:
    image = picture(Box(50, 30, 100, 60, Ink.INK), width=50)
    assert image.size == (50, 30)
    assert [colour(image, *at) for at in ((27, 17), (49, 29), (22, 17))] == [
        Ink.INK.light,
        Ink.INK.light,
        Ink.PAPER.light,
    ]
