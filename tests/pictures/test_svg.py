"""Drawings as markup: in fixed inks, in those of a page, painted by a style sheet, or as wide as there is room."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from builder.pictures.palette import Ink
from builder.pictures.shapes import (
    Area,
    Box,
    Dot,
    Dots,
    Drawing,
    Group,
    Line,
    Lines,
    Link,
    Mark,
    Shape,
    Text,
)
from builder.pictures.svg import as_svg, fluid, inked, styled

TRIANGLE = ((-4, -5), (5, 0), (-4, 5))
HOSTILE = "</title><script>alert('1')</script> & \x00\ufffe\"x"
EVERY_SHAPE: list[tuple[Shape, str, str]] = [
    (
        Text(50, 9, "a", 11, Ink.MUTED, "end", bold=True, css="t"),
        '<text x="50" y="9" fill="#54646a" font-size="11" text-anchor="end" font-weight="600">a</text>',
        '<text x="25%" y="9" class="t" fill="var(--sb-muted)" font-size="11" text-anchor="end"'
        ' font-weight="600">a</text>',
    ),
    (
        Text(50, 9, "a", 11, halo=True, turn=-90),
        '<text x="50" y="9" transform="rotate(-90 50 9)" fill="#1c2b30" font-size="11" stroke="#fbfaf6"'
        ' stroke-width="4" stroke-linejoin="round" paint-order="stroke">a</text>',
        '<text x="25%" y="9" transform="rotate(-90 50 9)" class="sb-halo" font-size="11">a</text>',
    ),
    (
        Line((0, 1), (66.66, 1), Ink.LINE, 1.5, dash=3),
        '<line x1="0" y1="1" x2="66.7" y2="1" stroke="#d8d6cb" stroke-width="1.5" stroke-dasharray="3" />',
        '<line x1="0%" y1="1" x2="33.33%" y2="1" stroke="var(--sb-line)" stroke-width="1.5" stroke-dasharray="3" />',
    ),
    (
        Lines((((0, 0), (50, 10), (100, 0)), ((9, 9), (9, 0))), Ink.THREAD, 1),
        '<path d="M0 0L50 10L100 0M9 9L9 0" fill="none" stroke="#bdb8a8" stroke-width="1" />',
        '<svg viewBox="0 0 200 100" preserveAspectRatio="none">'
        '<path d="M0 0L50 10L100 0M9 9L9 0" stroke="var(--sb-thread)" stroke-width="1" /></svg>',
    ),
    (
        Dot(50, 9, 6, Ink.SOLD, is_open=True),
        '<circle cx="50" cy="9" r="4" fill="#fbfaf6" stroke="#5b6b78" stroke-width="4" />',
        '<circle cx="25%" cy="9" r="4" fill="var(--sb-paper)" stroke="var(--sb-sold)" stroke-width="4" />',
    ),
    (
        Dots(((1, 2), (3, 4)), 2, Ink.CHANGED),
        '<path d="M1 2h0M3 4h0" stroke="#0b7285" stroke-width="4" stroke-linecap="round" />',
        '<g fill="var(--sb-changed)"><circle cx="0.5%" cy="2" r="2" /><circle cx="1.5%" cy="4" r="2" /></g>',
    ),
    (
        Dots(((1, 2),), 2, Ink.CHANGED, edged=True),
        '<g fill="#0b7285" stroke="#fbfaf6"><circle cx="1" cy="2" r="2" /></g>',
        '<g fill="var(--sb-changed)" stroke="var(--sb-paper)"><circle cx="0.5%" cy="2" r="2" /></g>',
    ),
    (
        Mark(50, 20, TRIANGLE, Ink.CHANGED, css="m"),
        '<polygon points="46,15 55,20 46,25" fill="#0b7285" />',
        '<svg x="25%" y="20" overflow="visible" class="m"><polygon points="-4,-5 5,0 -4,5" fill="var(--sb-changed)" />'
        "</svg>",
    ),
    (
        Box(10, 5, 60, 25, Ink.SUNK, edged=True, data=("cell", "3")),
        '<rect data-cell="3" x="10" y="5" width="50" height="20" fill="#f1efe7" stroke="#fbfaf6" />',
        '<rect data-cell="3" x="5%" y="5" width="25%" height="20" fill="var(--sb-sunk)" stroke="var(--sb-paper)" />',
    ),
    (
        Group((Dot(50, 9, 6, Ink.SOLD),), hidden=True),
        '<g aria-hidden="true"><circle cx="50" cy="9" r="6" fill="#5b6b78" /></g>',
        '<g aria-hidden="true"><circle cx="25%" cy="9" r="6" fill="var(--sb-sold)" /></g>',
    ),
    (
        Link("a/?b&c", '"d"', 0, 0, 20, 10, css="l"),
        "",
        '<a href="a/?b&amp;c" aria-label="&quot;d&quot;">'
        '<rect x="0%" y="0" width="10%" height="10" class="l" fill="transparent" /></a>',
    ),
]


def drawing(*shapes: Shape) -> Drawing:
    return Drawing(200, 100, "Title", "Description", shapes)


@pytest.mark.parametrize(("shape", "in_file", "in_page"), EVERY_SHAPE, ids=lambda value: type(value).__name__)
def test_each_shape_has_fixed_inks_in_a_file_and_shares_of_the_width_in_a_page(
    shape: Shape, in_file: str, in_page: str
) -> None:
    assert as_svg(drawing(shape)) == (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100" width="200" height="100" role="img"'
        ' aria-labelledby="title desc" font-family="system-ui, sans-serif"><title id="title">Title</title>'
        f'<desc id="desc">Description</desc><rect width="200" height="100" fill="#fbfaf6" />{in_file}</svg>\n'
    )
    assert fluid(drawing(shape), "k") == (
        '<svg width="100%" height="100" role="img" aria-labelledby="k.title k.desc"><title id="k.title">Title</title>'
        f'<desc id="k.desc">Description</desc>{in_page}</svg>'
    )


def test_every_shape_is_among_these() -> None:
    assert {type(shape) for shape, _, _ in EVERY_SHAPE} | {Area} == set(Shape.__args__)


def test_an_area_keeps_its_points_and_so_cannot_be_stretched() -> None:
    area = Area(((0, 0), (10, 0), (10.04, 5)), Ink.CHANGED)
    assert '<polygon points="0,0 10,0 10,5" fill="#0b7285" />' in as_svg(drawing(area))
    with pytest.raises(ValueError, match=r"^an area has no place in a fluid drawing: draw boxes or marks$"):
        fluid(drawing(area), "k")


def test_a_page_has_its_own_inks() -> None:
    assert inked(drawing(Dot(50, 9, 6, Ink.SOLD)), "k") == (
        '<svg viewBox="0 0 200 100" role="img" aria-labelledby="k.title k.desc"><title id="k.title">Title</title>'
        '<desc id="k.desc">Description</desc><circle cx="50" cy="9" r="6" fill="var(--sb-sold)" /></svg>'
    )


def test_a_style_sheet_paints_by_class_and_rings_are_its_own() -> None:
    shapes = (Dot(50, 9, 6, Ink.SOLD, is_open=True, css="ring"), Line((0, 0), (9, 0), Ink.LINE))
    assert styled(drawing(*shapes), "picture") == (
        '<svg class="picture" viewBox="0 0 200 100" aria-hidden="true"><circle cx="50" cy="9" r="6" class="ring" />'
        '<line x1="0" y1="0" x2="9" y2="0" /></svg>'
    )


def test_texts_are_only_texts() -> None:
    hostile = Drawing(200, 100, HOSTILE, HOSTILE, (Text(0, 0, HOSTILE, 11), Link(HOSTILE, HOSTILE, 0, 0, 9, 9)))
    for written in (as_svg(hostile), inked(hostile, "k"), fluid(hostile, "k"), styled(hostile, "c")):
        root = ElementTree.fromstring(written)
        said = HOSTILE.replace("\x00", "").replace("\ufffe", "")
        assert {element.text for element in root.iter() if element.text} == {said}
        assert all(element.tag.rpartition("}")[2] != "script" for element in root.iter())
