"""Every style has its drawing, every place its mark, and nothing is drawn outside the paper."""

from __future__ import annotations

import pytest

from builder.pictures.mask_drawing import HEIGHT, PLACES, STYLES, WIDTH, mask_drawing
from builder.pictures.palette import Ink
from builder.pictures.shapes import Line, Lines, Text
from builder.pictures.svg import as_svg, inked
from builder.records.vocabulary import Slot, Style


def test_every_style_and_every_slot_can_be_drawn() -> None:
    assert set(STYLES) == {style.value for style in Style}
    assert set(PLACES) == {slot.value for slot in Slot}


@pytest.mark.parametrize("style", STYLES)
def test_a_style_is_two_halves_alike_on_its_paper(style: str) -> None:
    drawing = mask_drawing(style, {place: place for place in PLACES}, style, "drawn")
    points = [point for shape in drawing.shapes if isinstance(shape, Lines) for part in shape.parts for point in part]
    assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in points)
    outline = next(shape for shape in drawing.shapes if isinstance(shape, Lines) and shape.ink is Ink.INK).parts[0]
    assert {(round(WIDTH - x, 1), y) for x, y in outline} == {(round(x, 1), y) for x, y in outline}


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("place", PLACES)
def test_a_place_is_marked_and_named_only_where_it_was_changed(style: str, place: str) -> None:
    plain, marked = mask_drawing(style, {}, "", ""), mask_drawing(style, {place: "<b>here</b>"}, "", "")
    assert not [shape for shape in plain.shapes if isinstance(shape, Text | Line)]
    assert not [shape for shape in plain.shapes if isinstance(shape, Lines) and shape.ink is Ink.CHANGED]
    assert marked.shapes[: len(plain.shapes)] == plain.shapes
    (mark,) = (shape for shape in marked.shapes if isinstance(shape, Lines) and shape.ink is Ink.CHANGED)
    (name,) = (shape for shape in marked.shapes if isinstance(shape, Text))
    leaders = [shape for shape in marked.shapes if isinstance(shape, Line)]
    assert all(leader.end in [point for part in mark.parts for point in part] for leader in leaders)
    assert len(leaders) == (place != "straps")
    assert name.text == "<b>here</b>"
    assert "&lt;b&gt;here&lt;/b&gt;" in as_svg(marked)


def test_in_a_page_it_takes_the_inks_of_the_page_and_says_what_it_is() -> None:
    svg = inked(mask_drawing("cup", {"edge": "Edge"}, "Cup, marked: edge", "A drawing."), "drawn.x")
    assert "var(--sb-changed)" in svg
    assert '<title id="drawn.x.title">Cup, marked: edge</title>' in svg
    assert "#" not in svg.replace("&#", "")
    assert len(svg) < 4_000


def test_a_style_or_place_that_is_none_is_refused() -> None:
    with pytest.raises(KeyError):
        mask_drawing("hat", {}, "", "")
    with pytest.raises(KeyError):
        mask_drawing("cup", {"ears": "Ears"}, "", "")
