"""Letters of the one font: what fits where, and what is spelled otherwise."""

from __future__ import annotations

from string import ascii_letters, digits

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.pictures.lettering import ELLIPSIS, bare, block, cut, fitted, font, width, wrapped, written


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


@pytest.mark.parametrize("size", [20, 26, 38, 60])
def test_letters_stand_as_far_apart_as_the_font_sets_them_beside_any_other(size: int) -> None:
    every = "".join(first + second for first in ascii_letters + digits + ".,-/ " for second in ascii_letters + digits)
    assert width(every, size) == font(size).getlength(every)
    assert width("\u05e9a", size) == size + font(size).getlength("a")


def test_no_line_ends_between_a_number_and_its_unit_and_both_are_drawn_as_any_other() -> None:
    held, free = "95\u2011%\u2011Intervall, 90\u202f% von", "95-%-Intervall, 90 % von"
    assert width(held, 20) == width(free, 20) and bare(held) == free
    narrow = width("95-%-Intervall, 90", 20) + 1
    assert wrapped(free, 20, narrow, 2) == ("95-%-Intervall, 90", "% von")
    assert wrapped(held, 20, narrow, 2) == ("95\u2011%\u2011Intervall,", "90\u202f% von")
    assert wrapped("  ", 20, narrow, 2) == ()
