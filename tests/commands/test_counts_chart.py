"""The chart of a run is one small page that asks nobody for anything."""

from __future__ import annotations

import re
from pathlib import Path

from builder.commands.counts_chart import chart_page
from builder.fit.counts.run_log import RunLog
from builder.fit.counts.run_result import run_result
from builder.pictures.palette import Ink
from builder.records.count_logs import read_counts
from builder.records.logs.log_said import EXERCISES
from tests.records import logs


def page_of(folder: Path, text: str, name: str = "run.csv") -> str:
    log = read_counts(logs.write(folder, text))
    assert isinstance(log, RunLog)
    return chart_page(log, run_result(log, EXERCISES), name)


def test_phases_are_shaded_and_named(tmp_path: Path) -> None:
    page = page_of(tmp_path, logs.short_run())
    assert page.count(f'fill="{Ink.SHADE_1.variable}"') == 4
    assert page.count(f'fill="{Ink.SUNK.variable}"') == 2
    for name in ("ambient", "Bending over", "Talking", "Head side to side", "Head up and down"):
        assert f">{name}</text>" in page
    assert "<desc" in page
    assert (
        "ambient, Bending over, Talking, Head side to side, Head up and down, ambient, on a logarithmic scale" in page
    )
    assert '<tr><th scope="row">Talking<td>100<td>' in page


def test_it_asks_nobody(tmp_path: Path) -> None:
    page = page_of(tmp_path, logs.short_run())
    assert not re.search(r"https?:|src=|url\(|@import|<script|<link", page)


def test_it_is_small_however_long_the_log(tmp_path: Path) -> None:
    run = [(30_000, "ambient", "", 1000), (90_000, "mask", "talking", 7), (30_000, "ambient", "", 1100)]
    assert len(page_of(tmp_path, logs.text_of(run))) < 30_000


def test_no_particle_lies_on_the_lowest_line(tmp_path: Path) -> None:
    page = page_of(tmp_path, logs.short_run(in_mask=(0, 0, 0, 1)))
    assert "a dot on the lowest line is 0" in page
    assert "a dot on the lowest line is 0" not in page_of(tmp_path, logs.short_run())


def test_the_name_of_the_file_is_text(tmp_path: Path) -> None:
    page = page_of(tmp_path, logs.short_run(), name="<script>alert(1)</script>.csv")
    assert "<script>" not in page
    assert "&lt;script&gt;" in page


def test_the_same_log_gives_the_same_page(tmp_path: Path) -> None:
    assert page_of(tmp_path, logs.short_run()) == page_of(tmp_path, logs.short_run())
