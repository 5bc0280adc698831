"""Dot and range of a row, on its axis."""

from __future__ import annotations

import pytest

from builder.pictures.bars import Axis, Bar, bar_rows
from builder.pictures.png import as_png
from builder.pictures.shapes import Area, Dot, Drawing
from builder.pictures.svg import as_svg

AXIS = Axis(1, 1000, 100, ((1, "1"), (100, "100")), "median")


def test_a_lower_limit_is_an_open_dot_and_an_arrow() -> None:
    exact = Bar("a", 10, 50, 200, "50", ())
    limit = Bar("a", 10, 50, 200, "at least 50", (), open_middle=True, open_high=True)
    assert [shape for shape in bar_rows([exact], AXIS, 0) if isinstance(shape, Area)] == []
    shapes = bar_rows([limit], AXIS, 0)
    (dot,) = (shape for shape in shapes if isinstance(shape, Dot))
    (arrow,) = (shape for shape in shapes if isinstance(shape, Area))
    assert dot.is_open
    assert min(x for x, _ in arrow.points) >= AXIS.scale.x(200)
    drawn = Drawing(1200, 100, "", "", tuple(shapes))
    assert as_png(drawn) != as_png(Drawing(1200, 100, "", "", tuple(bar_rows([exact], AXIS, 0))))
    assert 'stroke-width="4"' in as_svg(drawn)


def test_the_axis_is_logarithmic_and_holds_what_lies_beyond() -> None:
    assert AXIS.scale.x(10) - AXIS.scale.x(1) == pytest.approx(AXIS.scale.x(1000) - AXIS.scale.x(100))
    assert (AXIS.scale.x(0.1), AXIS.scale.x(1e6)) == (AXIS.scale.x(1), AXIS.scale.x(1000))
