"""Tests wanted: by the face model where there is one, by counts where there is not."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from builder.findings.dataset import Dataset, build_dataset
from builder.findings.forecast import NoModel
from builder.findings.wanted import wanted_tests
from builder.fit.panel import population_shares
from builder.site.published import Renderer
from builder.site.wanted_page import wanted_page
from builder.words.wanted_words import gain_text, wanted_text
from tests.records import samples


@pytest.fixture
def few(demo: Dataset) -> Dataset:
    """The tests of three wearers: too few for the face model."""
    wearers = sorted(set(demo.table["wearer"]))[:3]
    return replace(demo, table=demo.table[demo.table["wearer"].isin(wearers)].reset_index(drop=True))


def test_by_the_model(demo: Dataset) -> None:
    assert demo.model is not None
    wanted = wanted_tests(demo, 5)
    expected = demo.model.wanted_tests(5)
    assert not wanted.no_model
    assert [(t.configuration, t.cell, t.gain) for t in wanted.tests] == list(
        expected.itertuples(index=False, name=None)
    )
    for test in wanted.tests:
        of_it = demo.counted[demo.counted["configuration"] == test.configuration]
        assert test.wearers == of_it["wearer"].nunique()


def test_by_counts(few: Dataset) -> None:
    wanted = wanted_tests(few, 30)
    assert wanted.no_model == NoModel("few-wearers", 3, 8)
    assert len(wanted.tests) == len({(t.cell, t.configuration) for t in wanted.tests}) == 30
    # Every cell once, the emptiest and of these the most common first; then every cell again.
    first = wanted.tests[:10]
    shares = population_shares()
    assert [t.cell for t in first] == sorted(shares, key=lambda c: (_wearers(few.counted, c), -shares[c], c))
    assert {t.cell for t in wanted.tests[10:20]} == set(shares)
    # In an empty cell the mask that most wearers know as sold comes first.
    known = few.counted[few.counted["parts"] == ""].groupby("mask")["wearer"].nunique()
    assert known[first[0].configuration] == known.max()


def _wearers(counted: pd.DataFrame, cell: str) -> int:
    return int(counted.loc[counted["cell"] == cell, "wearer"].nunique())


def test_page(demo: Dataset, few: Dataset) -> None:
    page = wanted_page(demo, Renderer(demo))
    assert (page.address, page.title, page.section) == ("wanted/", "Tests wanted", "contribute.md")
    assert page.html.count('<tr><th scope="row"') == 20
    assert "It settles" in page.html
    without = wanted_page(few, Renderer(few))
    assert "It settles" not in without.html
    assert "8 wearers" in without.html


def test_text(demo: Dataset, few: Dataset) -> None:
    lines = wanted_text(demo, wanted_tests(demo, 3)).splitlines()
    assert len(lines) == 3
    assert all(" on a face in cell " in line and "It settles" in line for line in lines)
    assert wanted_text(few, wanted_tests(few, 1)).splitlines()[0] == (
        "Chances on a new face need tests by at least 8 wearers; 3 so far."
    )


def test_gain_text() -> None:
    assert [gain_text(gain) for gain in (0.0384, 0.001, 0.0004)] == ["3.8 %", "0.1 %", "under 0.1 %"]


def test_no_mask_yet(tmp_path: Path) -> None:
    samples.write(tmp_path)
    for path in (samples.MASK_PATH, samples.TEST_PATH):
        (tmp_path / path).unlink()
    data = build_dataset(tmp_path)
    assert wanted_text(data, wanted_tests(data, 3)) == "No masks yet."
    assert "There is no mask yet" in wanted_page(data, Renderer(data)).html
