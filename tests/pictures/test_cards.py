"""The layout of a picture that stands alone."""

from __future__ import annotations

import io

from PIL import Image

from builder.pictures.bars import Axis, Bar
from builder.pictures.cards import card
from builder.pictures.palette import Ink
from builder.pictures.png import as_png

AXIS = Axis(1, 1000, 100, ((1, "1"), (100, "100")), "median")


def test_a_picture_shows_its_inks_on_paper() -> None:
    bars = [Bar("a", 10, 50, 200, "50", ("1 test",))]
    png = as_png(card("Title", "lead", bars=bars, axis=AXIS, no_promise="No promise.", invented="Invented"))
    with Image.open(io.BytesIO(png)) as image:
        pixels = image.convert("RGB")
    inks = {Ink.PAPER, Ink.INK, Ink.BRAND, Ink.PASS, Ink.CHANGED, Ink.CHANGED_RANGE, Ink.LINE}
    colours = {"#" + bytes(colour).hex() for _, colour in pixels.getcolors(4096) or [] if isinstance(colour, tuple)}
    assert {ink.light for ink in inks} <= colours
    assert "#" + bytes(pixels.getpixel((3, 3))).hex() == Ink.PAPER.light  # type: ignore[arg-type]
