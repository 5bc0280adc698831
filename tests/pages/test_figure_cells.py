"""The cells of a configuration's figures in a table."""

from __future__ import annotations

import math

from builder.findings.dataset import Row
from builder.site.figure_cells import bare_cells, cells
from builder.site.row_strips import RowStrips

ROW: Row = {
    "median_fit_factor": 120.4,
    "median_at_least": False,
    "lowest_fit_factor": 12.0,
    "highest_fit_factor": 990.0,
    "highest_at_least": True,
    "wearers": 4,
    "tests": 9,
    "share_wearers": 4,
    "share_at_100": 0.75,
    "share_at_100_low": 0.3,
    "share_at_100_high": 0.95,
    "mask": "drum-cup",
}
STRIPS = RowStrips(1000.0)


def test_the_cells_stand_as_their_heads_do() -> None:
    picture = STRIPS.strip(12.0, 120.4, 990.0, True, False)
    assert picture.startswith('<svg class="sb-strip"')
    assert cells(ROW, STRIPS) == (
        '<td class="sb-num"><strong>120</strong></td>'
        f'<td class="sb-picture">{picture}</td>'
        '<td class="sb-num">4</td>'
        '<td class="sb-num">12–≥\u202f990</td>'
        '<td class="sb-num">9</td>'
        '<td class="sb-num">3 of 4 <span class="sb-muted">(30–95 %)</span></td>'
    )


def test_bare_cells_say_the_same() -> None:
    assert bare_cells(ROW, STRIPS) == cells(ROW, STRIPS).replace(' class="sb-num"', "")
    assert "sb-num" not in bare_cells(ROW, STRIPS)


def test_without_figures_they_say_so_and_draw_nothing() -> None:
    empty = {name: math.nan if "fit_factor" in name or "_100" in name else 0 for name in ROW}
    assert cells(empty, STRIPS) == (
        '<td class="sb-num"><strong>–</strong></td>'
        '<td class="sb-picture"></td>'
        '<td class="sb-num">0</td>'
        '<td class="sb-num">–––</td>'
        '<td class="sb-num">0</td>'
        '<td class="sb-num">–</td>'
    )


def test_another_axis_is_another_picture() -> None:
    assert cells(ROW, RowStrips(10_000.0)) != cells(ROW, STRIPS)
