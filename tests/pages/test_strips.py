"""The dot and range of a table row."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest

from builder.site.strips import MARGIN, WIDTH, Scale


@pytest.mark.parametrize(("highest", "top"), [(1.0, 1000), (999, 1000), (1000, 1000), (1001, 10_000), (2e5, 1e6)])
def test_the_axis_ends_at_the_power_of_ten_that_holds_all(highest: float, top: float) -> None:
    assert Scale.covering([3.0, highest]).top == top


def test_the_axis_of_no_values_still_shows_the_line_at_100() -> None:
    assert Scale.covering([]).top == 1000


def test_the_axis_is_logarithmic() -> None:
    scale = Scale(10_000)
    assert scale.x(1) == MARGIN
    assert scale.x(100) == WIDTH / 2
    assert scale.x(10_000) == WIDTH - MARGIN


def test_a_strip_is_well_formed_and_marks_lower_limits() -> None:
    picture = str(Scale(1000).strip(5, 50, 200, high_at_least=True, median_at_least=True))
    assert ET.fromstring(picture).tag == "svg"
    assert "sb-strip__more" in picture
    assert "sb-strip__dot--open" in picture
    assert "sb-strip__more" not in Scale(1000).strip(5, 50, 200, high_at_least=False, median_at_least=False)


def test_no_figures_no_picture() -> None:
    assert Scale(1000).strip(math.nan, math.nan, math.nan, False, False) == ""
