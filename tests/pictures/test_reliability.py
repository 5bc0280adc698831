"""A chart of predictions that came true or not."""

from __future__ import annotations

import pytest

from builder.pictures.png import as_png
from builder.pictures.reliability import BOTTOM, LEFT, RIGHT, TOP, Came, reliability_frame, reliability_picture
from builder.pictures.shapes import Dots, Line, Text

FRAME = reliability_frame("Predicted", "Passed")


def test_a_group_stands_at_its_shares_with_its_interval() -> None:
    drawing = reliability_picture([Came(0.5, 0.25, 0.1, 0.5, 16), Came(1, 1, 0.9, 1, 64)], FRAME, "T", "D")
    small, large = (shape for shape in drawing.shapes if isinstance(shape, Dots))
    assert small.points == (((LEFT + RIGHT) / 2, BOTTOM - (BOTTOM - TOP) / 4),)
    assert large.points == ((RIGHT, TOP),)
    assert (small.radius, large.radius) == (4, 6)
    *_, whisker = (shape for shape in drawing.shapes if isinstance(shape, Line) and shape.start[0] == RIGHT)
    assert (whisker.start[1], whisker.end[1]) == pytest.approx((BOTTOM - 0.9 * (BOTTOM - TOP), TOP))


def test_the_line_of_what_was_predicted_runs_from_corner_to_corner() -> None:
    (line,) = (shape for shape in FRAME if isinstance(shape, Line) and shape.dash)
    assert (line.start, line.end) == ((LEFT, BOTTOM), (RIGHT, TOP))


def test_both_axes_are_labelled_in_percent_and_named() -> None:
    texts = [shape.text for shape in FRAME if isinstance(shape, Text)]
    assert texts.count("20\u202f%") == 2
    assert texts[-2:] == ["Passed", "Predicted"]


def test_a_chart_is_a_file_too() -> None:
    drawing = reliability_picture([Came(0.5, 0.25, 0.1, 0.5, 16)], reliability_frame("Predicted", "Passed"), "T", "D")
    assert as_png(drawing) == as_png(drawing)
