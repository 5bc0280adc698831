"""The dot and range of a table row."""

from __future__ import annotations

from xml.etree import ElementTree

from builder.pictures.png import as_png
from builder.pictures.strip import GEOMETRY, Reach, strip, strip_scale, strip_ticks
from builder.pictures.svg import as_svg, styled

SCALE = strip_scale(1000)


def test_the_scale_fills_the_strip_between_its_margins() -> None:
    margin, width = GEOMETRY["margin"], GEOMETRY["width"]
    assert (SCALE.x(1), SCALE.x(1000)) == (margin, width - margin)


def test_a_strip_is_well_formed_and_marks_lower_limits() -> None:
    limit = styled(strip(Reach(5, 50, 200, open_median=True, open_high=True), SCALE, 100), "sb-strip")
    root = ElementTree.fromstring(limit)
    assert root.attrib == {"class": "sb-strip", "viewBox": "0 0 160 18", "aria-hidden": "true"}
    assert [element.tag for element in root] == ["line", "line", "line", "path", "circle"]
    assert root[-1].attrib["class"] == "sb-strip__open"
    exact = ElementTree.fromstring(styled(strip(Reach(5, 50, 200), SCALE, 100), "sb-strip"))
    assert [element.tag for element in exact] == ["line", "line", "line", "circle"]
    assert not any("class" in element.attrib for element in exact)


def test_the_marked_tick_is_told_apart() -> None:
    ticks = styled(strip_ticks({1: "1", 100: "100"}, SCALE, 100), "sb-ticks")
    assert '<text x="5" y="11">1</text><text x="105" y="11" class="sb-ticks__pass">100</text>' in ticks


def test_a_strip_is_a_file_too() -> None:
    drawing = strip(Reach(5, 50, 200, open_high=True), SCALE, 100)
    assert "var(" not in as_svg(drawing)
    assert "class=" not in as_svg(drawing)
    assert as_png(drawing).startswith(b"\x89PNG")
