"""A chart of donnings: rows, dots, threads, and what it does with too many."""

from __future__ import annotations

import pytest

from builder.pictures.chart_frame import Tick
from builder.pictures.donnings import DonningDot, DonningsChart, DonningsRow, donnings_chart, donnings_picture
from builder.pictures.palette import Ink
from builder.pictures.png import as_png
from builder.pictures.shapes import Box, Dots, Drawing, Group, Line, Lines, Mark, Shape, Text, flat
from builder.pictures.svg import fluid

SOLD = DonningsRow(
    "as sold", "median 20", (DonningDot(10, "a"), DonningDot(20, "b"), DonningDot(40, "a")), 20, sold=True
)
CHANGED = DonningsRow("wire", "median 80", (DonningDot(80, "a"), DonningDot(200, "b", at_least=True)), 80)
TICKS = [Tick(1, "1"), Tick(100, "100"), Tick(1000, "1 000")]


def chart(*rows: DonningsRow) -> DonningsChart:
    return donnings_chart(rows, 1000, TICKS, 100, "Fit factor")


def drawn(*rows: DonningsRow) -> Drawing:
    said = {donning.wearer: f"all of {donning.wearer}" for row in rows for donning in row.donnings}
    return donnings_picture(chart(*rows), "Title", "Description", said)


def shapes_of(drawing: Drawing) -> list[Shape]:
    return list(flat(drawing.shapes))


def wearers_of(drawing: Drawing) -> list[Group]:
    (wearers,) = (
        one for one in drawing.shapes if isinstance(one, Group) and one.css.startswith("sb-donnings__wearers")
    )
    return [one for one in wearers.shapes if isinstance(one, Group)]


def crowd(n: int, wearers: int) -> DonningsRow:
    return DonningsRow(
        "many", "", tuple(DonningDot(1 + number % 700, f"w{number % wearers}") for number in range(n)), 300
    )


def test_each_donning_is_a_dot_and_a_limit_a_triangle() -> None:
    shapes = shapes_of(drawn(SOLD, CHANGED))
    dots = [shape for shape in shapes if isinstance(shape, Dots)]
    assert [(shape.ink, len(shape.points)) for shape in dots] == [(Ink.SOLD, 2), (Ink.CHANGED, 1), (Ink.SOLD, 1)]
    (mark,) = (shape for shape in shapes if isinstance(shape, Mark))
    assert mark.x == chart().scale.x(200)


def test_all_of_a_wearer_is_a_group_that_says_whose_it_is() -> None:
    of_a, of_b = wearers_of(drawn(SOLD, CHANGED))
    assert [(one.data, one.title) for one in (of_a, of_b)] == [
        (("wearer", "a"), "all of a"),
        (("wearer", "b"), "all of b"),
    ]
    assert sum(len(shape.points) for shape in of_a.shapes if isinstance(shape, Dots)) == 3
    written = fluid(drawn(SOLD, CHANGED), "key")
    assert '<g data-wearer="a"><title>all of a</title>' in written


def test_rows_lie_below_each_other_with_their_words_above_their_dots() -> None:
    first, second = chart(SOLD, CHANGED).rows
    for placed in (first, second):
        assert placed.top < placed.middle - placed.half
        assert all(abs(height - placed.middle) <= placed.half for height in placed.heights)
    assert first.middle + first.half < second.top
    texts = [shape.text for shape in chart(SOLD, CHANGED).words if isinstance(shape, Text)]
    assert texts == ["as sold", "median 20", "wire", "median 80"]
    assert second.middle + second.half < chart(SOLD, CHANGED).height


def test_many_rows_have_the_labels_of_the_axis_above_them_too() -> None:
    def labels(n: int) -> list[str]:
        return [shape.text for shape in chart(*[CHANGED] * n).axis if isinstance(shape, Text)]

    assert labels(4) == ["1", "100", "1 000", "Fit factor"]
    assert labels(5) == ["1", "100", "1 000"] * 2 + ["Fit factor"]
    above = min(shape.y for shape in chart(*[CHANGED] * 5).axis if isinstance(shape, Text))
    assert 12 < above < chart(*[CHANGED] * 5).rows[0].top


def test_medians_are_upright_bars_below_the_dots() -> None:
    shapes = shapes_of(drawn(SOLD))
    (bar,) = (shape for shape in shapes if isinstance(shape, Line) and shape.ink is Ink.INK)
    assert bar.start[0] == bar.end[0] == chart().scale.x(20)
    assert shapes.index(bar) < next(place for place, shape in enumerate(shapes) if isinstance(shape, Dots))


def test_dots_of_a_wearer_are_joined_in_a_row_and_from_row_to_row() -> None:
    of_a, of_b = (
        [shape.parts for shape in group.shapes if isinstance(shape, Lines)]
        for group in wearers_of(drawn(SOLD, CHANGED))
    )
    scale = chart().scale
    ((within, across),) = of_a
    assert [x for x, _ in within] == [scale.x(10), scale.x(40)]
    # From the middle of two dots on the log scale to the one of the next row.
    assert [x for x, _ in across] == [pytest.approx((scale.x(10) + scale.x(40)) / 2), scale.x(80)]
    (((low, _), (high, _)),) = of_b[0]
    assert [low, high] == [scale.x(20), scale.x(200)]


def test_a_row_of_too_many_shows_where_they_lie() -> None:
    assert not chart(crowd(150, 10)).crowded
    many = drawn(crowd(151, 10), SOLD)
    assert chart(crowd(151, 10), SOLD).crowded
    boxes = [shape for shape in shapes_of(many) if isinstance(shape, Box)]
    assert 0 < len(boxes) <= 60
    assert sum(len(shape.points) for shape in shapes_of(many) if isinstance(shape, Dots)) == 3
    assert max(box.bottom - box.top for box in boxes) == pytest.approx(60)


def test_among_many_donnings_rows_are_thinned_sooner() -> None:
    rows = [crowd(100, 10)] * 3
    assert all(placed.crowded for placed in chart(*rows).rows)
    assert not chart(*rows[:2]).crowded


def test_dots_of_too_many_wearers_are_joined_only_where_one_is_lit() -> None:
    rows = [crowd(61, 61), crowd(60, 60)]
    assert not chart(*rows).has_threads
    assert 'class="sb-donnings__wearers sb-donnings__wearers--unjoined"' in fluid(drawn(*rows), "key")
    assert "--unjoined" not in fluid(drawn(rows[1], rows[1]), "key")
    assert chart(rows[1], rows[1]).has_threads


def test_two_thousand_donnings_are_as_light_as_some() -> None:
    picture = fluid(drawn(*[crowd(400, 90)] * 5), "key")
    assert len(picture) < 40_000
    assert picture == fluid(drawn(*[crowd(400, 90)] * 5), "key")


def test_a_chart_is_a_file_too() -> None:
    assert as_png(drawn(SOLD, CHANGED)) == as_png(drawn(SOLD, CHANGED))
