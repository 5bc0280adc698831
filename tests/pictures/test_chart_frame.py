"""Axes and words of charts."""

from __future__ import annotations

from builder.pictures.chart_frame import MINOR, WIDTH, Tick, below, beside, heading, level_label, upright_axis
from builder.pictures.lettering import width
from builder.pictures.palette import Ink
from builder.pictures.scale import LogScale
from builder.pictures.shapes import Line, Text

LONG = "Crossed band behind the head + Stiff aluminium strip + Thick foam strip"


def test_labels_at_the_ends_stay_inside() -> None:
    assert [(label.x, label.anchor) for label in (level_label(x, 0, "1 000") for x in (5, 260, 515))] == [
        (0, "start"),
        (260, "middle"),
        (WIDTH, "end"),
    ]


def test_an_axis_tells_its_mark_apart_and_what_a_narrow_page_leaves_out() -> None:
    ticks = [Tick(1, "1"), Tick(20, "20", minor=True), Tick(100, "100")]
    shapes = upright_axis(LogScale(1, 1000, 10, 510), ticks, 100, top=4, bottom=50, name="Fit")
    *lines, mark = (shape for shape in shapes if isinstance(shape, Line))
    assert [line.css for line in lines] == ["", MINOR]
    assert (mark.ink, mark.dash, mark.start[0]) == (Ink.PASS, 3, LogScale(1, 1000, 10, 510).x(100))
    texts = {shape.text: shape for shape in shapes if isinstance(shape, Text)}
    assert list(texts) == ["1", "20", "100", "Fit"]
    assert texts["20"].css == MINOR
    assert texts["100"].bold and texts["100"].ink is Ink.PASS


def test_long_headings_are_broken_to_what_a_phone_has_room_for() -> None:
    shapes, end = heading(LONG, 10)
    lines = [shape for shape in shapes if isinstance(shape, Text)]
    assert " ".join(line.text for line in lines) == LONG
    assert len(lines) > 1
    assert all(width(line.text, line.size) <= 270 for line in lines)
    assert end == 10 + 18 * len(lines)


def test_figures_stand_beside_a_short_label_and_below_a_long_one() -> None:
    (label, figures), end = beside("ibsaka", "×1.6", 0)
    assert isinstance(label, Text) and isinstance(figures, Text)
    assert (label.y, figures.y, figures.anchor, end) == (12, 12, "end", 16)
    *lines, last = beside(LONG, "×1.6", 0)[0]
    assert all(isinstance(line, Text) and isinstance(last, Text) and line.y < last.y for line in lines)
    (alone,), end = below("median 3", 20)
    assert isinstance(alone, Text)
    assert (alone.y, end) == (32, 36)
