"""Colours of a database's own take the place of ours, in pages and in pictures, where they can be read."""

from __future__ import annotations

import io
from collections.abc import Iterator

import pytest
from PIL import Image

from builder.pictures.own_palette import contrast, recolour
from builder.pictures.palette import Ink, style_rule
from builder.pictures.png import as_png
from builder.pictures.shapes import Box, Drawing
from builder.pictures.svg import as_svg

PURPLE = {"brand": ["#5a1e63", "#d2a0e0"]}
DRAWING = Drawing(10, 10, "A box", "of the brand", (Box(0, 0, 10, 10, Ink.BRAND),))


@pytest.fixture(autouse=True)
def _ours_again() -> Iterator[None]:
    yield
    assert recolour({}) == []


def colour_of(picture: bytes) -> tuple[int, ...]:
    found = Image.open(io.BytesIO(picture)).convert("RGB").getpixel((5, 5))
    assert isinstance(found, tuple)
    return tuple(int(channel) for channel in found)


def test_the_palette_itself_can_be_read() -> None:
    assert recolour({}) == []


def test_pages_files_and_pictures_drawn_before_take_the_new_colour() -> None:
    assert colour_of(as_png(DRAWING)) == (0x0E, 0x5A, 0x63)
    assert recolour(PURPLE) == []
    assert "  --sb-brand: light-dark(#5a1e63, #d2a0e0);\n" in style_rule()
    assert colour_of(as_png(DRAWING)) == (0x5A, 0x1E, 0x63)
    assert "#5a1e63" in as_svg(DRAWING)
    assert recolour({}) == []
    assert colour_of(as_png(DRAWING)) == (0x0E, 0x5A, 0x63)
    assert "#0e5a63" in as_svg(DRAWING)


@pytest.mark.parametrize(
    ("own", "said"),
    [
        (
            {"ink": ["#cccccc", "#e3e9e8"]},
            "ink #cccccc on paper #fbfaf6 (light) cannot be read well: contrast 1.5 to 1. "
            "Take colours further apart, 4.5 to 1 at least.",
        ),
        (
            {"focus": ["#b35c00", "#222222"]},
            "focus #222222 on paper #11181b (dark) cannot be read well: contrast 1.1 to 1. "
            "Take colours further apart, 3 to 1 at least.",
        ),
        ({"brand": "#5a1e63"}, 'brand: write two colours, on light and on dark, as in ["#0e5a63", "#7fd0d2"].'),
        ({"brand": ["red", "blue"]}, 'brand: write two colours, on light and on dark, as in ["#0e5a63", "#7fd0d2"].'),
        (
            {"brand": ["#5a1e63", "#d2a0e0;} x"]},
            'brand: write two colours, on light and on dark, as in ["#0e5a63", "#7fd0d2"].',
        ),
        ({"blue": ["#5a1e63", "#d2a0e0"]}, "'blue' is no colour of the palette. Write one of: paper, raised, "),
    ],
)
def test_what_cannot_be_used_is_said_and_changes_nothing(own: dict[str, object], said: str) -> None:
    before = style_rule()
    assert recolour(own)[0].startswith(said)
    assert style_rule() == before


def test_contrast_is_that_of_the_guidelines() -> None:
    """Web Content Accessibility Guidelines 2.2: black on white is 21 to 1; #767676 on white just passes 4.5 to 1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#ffffff", "#767676") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)
