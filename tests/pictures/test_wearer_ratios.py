"""The picture of one comparison over its wearers."""

from __future__ import annotations

from builder.pictures.chart_frame import LEFT, RIGHT, Tick
from builder.pictures.forest import Ratio
from builder.pictures.palette import Ink
from builder.pictures.shapes import Dots, Drawing, Lines, Mark, Text
from builder.pictures.wearer_ratios import MOST_NAMED, wearer_ratios

TOGETHER = [Ratio("2 wearers together", "×2", 2, 1.5, 3, "mean"), Ratio("A new face", "×1 to ×4", 2, 1, 4, "expected")]


def drawn(wearers: int) -> Drawing:
    each = [Ratio(f"wearer {n}", "×2", 2 + n, 1, None) for n in range(wearers)]
    axis = (0.5, 8.0, [Tick(1, "×1"), Tick(2, "×2")])
    return wearer_ratios(TOGETHER, each, axis, name="times", crowd="Each of them", title="T", description="D")


def words(drawing: Drawing) -> list[str]:
    return [shape.text for shape in drawing.shapes if isinstance(shape, Text) and not shape.text.startswith("×")]


def test_each_wearer_has_a_row_with_its_name() -> None:
    assert words(drawn(2)) == ["times", "2 wearers together", "A new face", "wearer 0", "wearer 1"]
    (dots,) = [shape for shape in drawn(2).shapes if isinstance(shape, Dots)]
    heights = [y for _, y in dots.points]
    assert heights == sorted(heights)
    assert len(set(heights)) == 2


def test_many_wearers_stand_close_and_keep_their_order_without_names() -> None:
    crowd = drawn(150)
    assert words(crowd) == ["times", "2 wearers together", "A new face", "Each of them"]
    (dots,) = [shape.points for shape in crowd.shapes if isinstance(shape, Dots)]
    assert len(dots) == 150
    assert [y for _, y in dots] == sorted(y for _, y in dots)
    of_wearers = [shape for shape in crowd.shapes if isinstance(shape, Lines) and shape.ink == Ink.CHANGED]
    assert [[start[1] for start, _ in lines.parts] for lines in of_wearers] == [[y for _, y in dots]]
    assert crowd.height < 1400
    assert words(drawn(MOST_NAMED))[-1] == f"wearer {MOST_NAMED - 1}"


def test_what_they_say_together_stands_where_the_axis_has_it() -> None:
    (diamond,) = [shape for shape in drawn(2).shapes if isinstance(shape, Mark)]
    assert diamond.x == round(LEFT + (RIGHT - LEFT) / 2, 1)
