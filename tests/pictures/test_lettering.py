"""Letters of the one font: what fits where, and what is spelled otherwise."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageChops

from builder.pictures.lettering import ELLIPSIS, block, cut, fitted, width, wrapped, written
from builder.pictures.png import _letters


@pytest.mark.parametrize(
    ("text", "spelled"),
    [
        ("Plain 12", "Plain 12"),
        ("Ångström, Łódź, Straße", "Angström, Lodz, Strasse"),
        ("3 × 4 – 5", "3 x 4 - 5"),
        ("≥\u202f1\u202f000", "at least 1 000"),
        ("שלום", "the-id"),
        ("half 마스크", "the-id"),
        (" \u200b ", "the-id"),
    ],
)
def test_what_the_font_lacks_is_spelled_otherwise(text: str, spelled: str) -> None:
    assert written(text, "the-id") == spelled


@given(st.text("abc WiM", max_size=60), st.integers(60, 400))
def test_texts_are_cut_to_their_room(text: str, room: int) -> None:
    assert width(cut(text, 26, room), 26) <= room
    shrunk, size = fitted(text, 36, room, 20)
    assert 20 <= size <= 36
    assert width(shrunk, size) <= room
    lines = wrapped(text, 20, room, 3)
    assert len(lines) <= 3
    assert all(width(line, 20) <= room for line in lines)
    if not any(line.endswith(ELLIPSIS) for line in lines):
        assert " ".join(lines) == " ".join(text.split())
    assert block(text, room, ((26, 1), (20, 3)))[1] in (26, 20)


def test_dots_above_letters_are_drawn_and_take_no_room_of_their_own() -> None:
    bare, dotted = (_letters(text, 40, "middle", 0, 0) for text in ("hoher", "höher"))
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
