"""A run over time."""

from __future__ import annotations

import pytest

from builder.pictures.palette import Ink
from builder.pictures.png import as_png
from builder.pictures.run_chart import Phase, run_chart
from builder.pictures.shapes import Box, Dots, Drawing, Line, Text

PHASES = [
    Phase("ambient", 0, 30, "ambient", 1000),
    Phase("purge", 30, 40, "purge", None),
    Phase("mask", 40, 70, "Talking", 10),
]
READINGS = {"ambient": [(15.0, 1000.0)], "purge": [(35.0, 0.0)], "mask": [(55.0, 10.0), (65.0, 10.0)]}


def chart(phases: list[Phase] = PHASES) -> Drawing:
    return run_chart(phases, READINGS, "particles a second", "{:g}".format)  # type: ignore[arg-type]


def test_phases_are_shaded_and_named_but_for_purging() -> None:
    boxes = [shape for shape in chart().shapes if isinstance(shape, Box)]
    assert [box.ink for box in boxes] == [Ink.SUNK, Ink.SHADE_1]
    assert boxes[1].right - boxes[1].left == pytest.approx(boxes[0].right - boxes[0].left)  # 30 s each
    names = [shape.text for shape in chart().shapes if isinstance(shape, Text) and shape.turn]
    assert names == ["ambient", "Talking"]
    assert chart().title == "Particles a second over time"
    assert chart().description == "ambient, Talking, on a logarithmic scale; the table below has the figures."


def test_too_many_names_are_left_out() -> None:
    many = [Phase("mask", second, second + 1, "Talking", 10) for second in range(41)]
    assert not any(isinstance(shape, Text) and shape.turn for shape in chart(many).shapes)
    assert chart(many).description == "on a logarithmic scale; the table below has the figures."


def test_levels_are_on_a_log_scale_with_none_on_its_lowest_line() -> None:
    ticks = {shape.text: shape.y for shape in chart().shapes if isinstance(shape, Text) and shape.anchor == "end"}
    assert ticks["100"] - ticks["1000"] == pytest.approx(ticks["10"] - ticks["100"])
    purged, ambient, in_mask = (shape.points for shape in chart().shapes if isinstance(shape, Dots))
    assert [y for _, y in (*ambient, *in_mask)] == pytest.approx([ticks["1000"] - 4, ticks["10"] - 4, ticks["10"] - 4])
    assert purged[0][1] == pytest.approx(ticks["10"] - 4)
    means = [shape for shape in chart().shapes if isinstance(shape, Line) and shape.ink is Ink.INK]
    assert [line.start[1] for line in means] == pytest.approx([ticks["1000"] - 4, ticks["10"] - 4])


def test_a_run_without_a_reading_still_has_axes() -> None:
    empty = run_chart([], {}, "particles per cm³", "{:g}".format)
    assert [shape.text for shape in empty.shapes if isinstance(shape, Text)][:2] == ["1", "10"]
    assert as_png(chart()) == as_png(chart())
