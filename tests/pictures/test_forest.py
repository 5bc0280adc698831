"""A chart of ratios."""

from __future__ import annotations

from builder.pictures.chart_frame import LEFT, RIGHT, Tick
from builder.pictures.forest import ForestChart, Ratio, forest_chart, forest_picture
from builder.pictures.palette import Ink
from builder.pictures.png import as_png
from builder.pictures.shapes import Dots, Line, Mark, Shape, Text

RATIOS = [
    Ratio("ibsaka", "×2", 2, 1.5, 3, group="Mask A"),
    Ratio("griduvo", "at least ×2", 2, 1, None, "at_least", "Mask A"),
    Ratio("griduvo", "at most ×0.5", 0.5, None, 0.01, "at_most", "Mask B"),
    Ratio("mean", "×1.5", 1.5, 1.2, 2, "mean"),
    Ratio("on a new face", "×1 to ×4", 1.5, 1, 4, "expected"),
]
TICKS = [Tick(0.01, "×0.01"), Tick(0.5, "×0.5"), Tick(1, "×1"), Tick(2, "×2")]


def chart() -> ForestChart:
    return forest_chart(RATIOS, 10, TICKS, "Ratio")


def marks() -> list[Shape]:
    frame = len(chart().axis)
    return [shape for shape in forest_picture(chart(), "T", "D").shapes[frame:] if not isinstance(shape, Text)]


def test_groups_stand_above_their_rows_once() -> None:
    words = [shape.text for shape in chart().words if isinstance(shape, Text)]
    assert words == [
        *("Mask A", "ibsaka", "×2", "griduvo", "at least ×2"),
        *("Mask B", "griduvo", "at most ×0.5"),
        *("mean", "×1.5", "on a new face", "×1 to ×4"),
    ]
    assert list(chart().heights) == sorted(chart().heights)


def test_rows_of_an_even_chart_stand_equally_far_apart() -> None:
    named = [
        Ratio(label, "×2, 10 wearers", 2, 1.5, 3) for label in ("Clip", "A" + 8 * " second wire beside it", "Strip")
    ]
    short, high, low = forest_chart(named, 10, TICKS, "Ratio", even=True).heights
    assert high - short == low - high
    uneven = forest_chart(named, 10, TICKS, "Ratio").heights
    assert uneven[1] - uneven[0] > uneven[2] - uneven[1]


def test_intervals_are_lines_that_end_with_the_axis_and_are_open_without_a_limit() -> None:
    x = chart().scale.x
    spans = [(shape.start[0], shape.end[0]) for shape in marks() if isinstance(shape, Line) and shape.width == 2]
    levels = [span for span in spans if span[0] != span[1]]
    assert levels == [
        (x(1.5), x(3)),
        (x(1), x(2)),
        (x(0.5), LEFT),
        (x(1.2), x(2)),
        (x(1), x(4)),
    ]
    assert x(100) == RIGHT


def test_each_kind_has_its_mark() -> None:
    dots = [shape for shape in marks() if isinstance(shape, Dots)]
    outlines = [shape for shape in marks() if isinstance(shape, Mark)]
    assert [dot.ink for dot in dots] == [Ink.CHANGED]
    assert [mark.ink for mark in outlines] == [Ink.CHANGED, Ink.CHANGED, Ink.INK]
    right, left, _ = (mark.outline for mark in outlines)
    assert max(right)[1] == min(left)[1] == 0  # each points to where the ratio may be


def test_only_ticks_of_the_axis_are_shown() -> None:
    shown = [shape.text for shape in chart().axis if isinstance(shape, Text)]
    # Above and below, since there are many rows.
    assert shown == ["×0.5", "×1", "×2", "×0.5", "×1", "×2", "Ratio"]


def test_a_chart_is_a_file_too() -> None:
    drawing = forest_picture(chart(), "T", "D")
    assert as_png(drawing) == as_png(drawing)
