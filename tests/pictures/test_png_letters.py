"""Texts as pixels: letters where the font sets them, with the dots above some."""

from __future__ import annotations

import pytest
from PIL import Image, ImageChops, ImageDraw

from builder.pictures.lettering import font, width
from builder.pictures.png_letters import lettered
from builder.pictures.shapes import Anchor


@pytest.mark.parametrize(("anchor", "named"), [("start", "ls"), ("middle", "ms"), ("end", "rs")])
@pytest.mark.parametrize(("text", "stroke"), [("Wearers 12.5 + 3", 0), ("Wearer", 0), ("AV Tjf, 100%", 1)])
def test_a_text_set_letter_by_letter_is_the_one_that_the_font_sets(
    text: str, stroke: int, anchor: Anchor, named: str
) -> None:
    mask, (left, top) = lettered(text, 26, anchor, stroke, 0)
    whole = Image.new("L", mask.size)
    ImageDraw.Draw(whole).text((-left, -top), text, fill=255, font=font(26), anchor=named, stroke_width=stroke)
    apart = ImageChops.difference(mask, whole)
    # Where two letters touch, their edges may be a shade lighter.
    levels = apart.histogram()
    assert sum(levels[1:]) <= 2
    assert sum(levels[64:]) == 0


def test_dots_above_letters_are_drawn_and_take_no_room_of_their_own() -> None:
    bare, dotted = (lettered(text, 40, "middle", 0, 0) for text in ("hoher", "höher"))
    assert width("höher", 40) == width("hoher", 40)
    assert dotted[0].width == bare[0].width
    reach = dotted[0].height - bare[0].height
    assert reach >= 0
    assert dotted[1][1] == bare[1][1] - reach
    below = dotted[0].crop((0, reach, dotted[0].width, dotted[0].height))
    added = ImageChops.subtract(below, bare[0]).getbbox()
    assert added is not None
    letter = bare[0].width * width("h", 40) / width("hoher", 40), bare[0].width * width("ho", 40) / width("hoher", 40)
    assert letter[0] - 2 < added[0] < added[2] < letter[1] + 3
