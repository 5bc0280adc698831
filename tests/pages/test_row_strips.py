"""The pictures of a table's column."""

from __future__ import annotations

import math
import re

from builder.findings.dataset import Dataset
from builder.site.row_strips import RowStrips, fit_top, strip_geometry


def test_one_axis_holds_every_test(demo: Dataset) -> None:
    highest = demo.counted["fit_factor"].max()
    assert fit_top(demo) / 10 < highest <= fit_top(demo)
    assert strip_geometry(demo)["top"] == fit_top(demo)


def test_no_figures_no_picture() -> None:
    assert RowStrips(1000).strip(math.nan, math.nan, math.nan, False, False) == ""


def test_ticks_have_room_on_a_long_axis() -> None:
    labels = [re.findall(r">([^<>]+)</text>", RowStrips(top).ticks()) for top in (1000, 100_000)]
    assert labels == [["1", "10", "100", "1\u202f000"], ["1", "100", "10\u202f000"]]
