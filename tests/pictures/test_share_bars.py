"""Shares beside each other."""

from __future__ import annotations

import math

from builder.pictures.chart_frame import WIDTH
from builder.pictures.palette import Ink
from builder.pictures.png import as_png
from builder.pictures.shapes import Box, Drawing, Text
from builder.pictures.share_bars import SharesRow, share_bars

ROWS = [
    SharesRow("as sold", ((0.5, "1 of 2"), (0.0, "0 of 3")), muted=True),
    SharesRow("Soft foam", ((1.0, "2 of 2"), (math.nan, "not noted"))),
]


def drawn() -> Drawing:
    return share_bars(["Reach 100", "Comfortable"], ROWS, "T", "D")


def test_a_bar_is_filled_as_far_as_its_share_and_not_at_all_where_nothing_is_known() -> None:
    boxes = [shape for shape in drawn().shapes if isinstance(shape, Box)]
    tracks = [box for box in boxes if box.ink is Ink.SUNK]
    filled = [(box.ink, box) for box in boxes if box.ink is not Ink.SUNK]
    assert len(tracks) == 4
    assert [ink for ink, _ in filled] == [Ink.SOLD, Ink.CHANGED]
    half, whole = (box for _, box in filled)
    assert math.isclose(half.right - half.left, (tracks[0].right - tracks[0].left) / 2)
    assert math.isclose(whole.right, tracks[2].right)


def test_columns_share_the_width_and_every_figure_is_written() -> None:
    boxes = [shape for shape in drawn().shapes if isinstance(shape, Box)]
    assert min(box.left for box in boxes) == 0
    assert math.isclose(max(box.right for box in boxes), WIDTH)
    words = [shape.text for shape in drawn().shapes if isinstance(shape, Text)]
    assert words == [
        *("Reach 100", "Comfortable"),
        *("1 of 2", "0 of 3", "as sold"),
        *("2 of 2", "not noted", "Soft foam"),
    ]


def test_it_can_be_a_png() -> None:
    assert as_png(drawn()).startswith(b"\x89PNG")
