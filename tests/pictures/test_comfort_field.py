"""Fit beside comfort: where marks stand, what they look like, and where they lead."""

from __future__ import annotations

from xml.etree import ElementTree

from builder.pictures.chart_frame import RIGHT, Tick
from builder.pictures.comfort_field import (
    BOTTOM,
    LEFT,
    TOP,
    ComfortAxes,
    WornMark,
    comfort_field,
    comfort_picture,
)
from builder.pictures.svg import fluid

AXES = ComfortAxes(1000, 100, "Fit", [Tick(1, "1"), Tick(100, "100")], "Comfort", [Tick(0, "0 %"), Tick(1, "100 %")])
MARKS = [
    WornMark(1000, 1.0, False, False, "tight & soft", "../masks/a/#a+b"),
    WornMark(1, 0.0, True, True, "leaky, hard", "../masks/a/#a"),
]


def drawn(marks: list[WornMark], most: int = 9) -> ElementTree.Element:
    return ElementTree.fromstring(fluid(comfort_picture(comfort_field(marks, AXES, most), "Title", "About"), "key"))


def test_a_mark_stands_by_fit_and_comfort_and_leads_to_its_row() -> None:
    picture = drawn(MARKS)
    assert picture.attrib["role"] == "group"
    tight, leaky = picture.iter("a")
    assert (tight.attrib["href"], tight.attrib["aria-label"]) == ("../masks/a/#a+b", "tight & soft")
    (dot,) = tight.iter("circle")
    assert (dot.attrib["cx"], dot.attrib["cy"]) == (f"{100 * RIGHT / 520:.2f}%", str(TOP))
    assert next(tight.iter("g")).attrib["fill"] == "var(--sb-changed)"
    # A square is hard to breathe through, grey is as sold.
    (place,) = leaky.iter("svg")
    assert (place.attrib["x"], place.attrib["y"]) == (f"{100 * LEFT / 520:.2f}%", str(BOTTOM))
    assert next(leaky.iter("polygon")).attrib["fill"] == "var(--sb-sold)"


def test_no_more_marks_than_there_is_room_for() -> None:
    assert len(list(drawn(MARKS, most=1).iter("a"))) == 1
    assert drawn([]).attrib["role"] == "img"
