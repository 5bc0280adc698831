"""The page that measures all by one mask: its rows, what is said of each, and the files that its script reads."""

from __future__ import annotations

import json
import re
import shutil
import zlib
from pathlib import Path
from typing import Any

import pytest

from builder.findings.dataset import Dataset, build_dataset
from builder.fit.compare.yardstick import Evidence, Measured, highest_first, measured_by
from builder.site.published import Renderer
from builder.site.yardstick_page import ladder_by, yardstick_files, yardstick_page, yardsticks
from builder.words.labels import configuration_label
from builder.words.numbers import between, times
from builder.words.yardstick_words import direct_text, interval_text, others_text, ratio_text


@pytest.fixture(scope="module")
def html(demo: Dataset) -> str:
    return yardstick_page(demo, Renderer(demo)).html


def test_it_holds_every_configuration_by_the_most_tried_mask_what_is_surely_highest_first(
    demo: Dataset, html: str
) -> None:
    found, apart = measured_by(demo.network, demo.reference)
    expected = highest_first(found)
    assert apart == ()
    assert len(expected) == 40
    limits = [row.low90 or 0.0 for row in expected]
    assert limits == sorted(limits, reverse=True)
    rows = re.findall(r"<tr><th scope=\"row\"><a [^>]*>(.*?)</a></th>.*?<strong>(.*?)</strong>", html, re.DOTALL)
    assert rows == [(configuration_label(demo, row.configuration), times(row.ratio)) for row in expected]
    for row in expected:
        assert between(row.low90, row.high90) in html
    assert "40 configurations by Skevuthar, as sold, what is surely highest first." in html
    assert '<option value="skevuthar" selected>Skevuthar (13 wearers)</option>' in html


def test_every_mask_tried_as_sold_beside_another_can_be_the_measure(demo: Dataset, html: str) -> None:
    sold = {name for name in demo.measured_arms.by_configuration if "+" not in name}
    assert set(yardsticks(demo)) == sold
    assert set(re.findall(r'<option value="(.*?)"', html)) == sold
    assert {file.path for file in yardstick_files(demo)} == {f"yardstick/{mask}.packed" for mask in sold}


def test_the_files_hold_the_figures_by_each_mask(demo: Dataset) -> None:
    for file in yardstick_files(demo):
        assert isinstance(file.content, bytes)
        published: Any = json.loads(zlib.decompress(file.content))
        reference = file.path.removeprefix("yardstick/").removesuffix(".packed")
        ladder = ladder_by(demo, reference)
        rows = published["rows"]
        assert rows["configuration"] == [row.configuration for row in ladder.rows]
        assert rows["ratio"] == [pytest.approx(row.ratio, rel=1e-3) for row in ladder.rows]
        assert rows["low"] == [pytest.approx(row.low90, rel=1e-3) for row in ladder.rows]
        wearers = [rows["wearers"]["words"][at] for at in rows["wearers"]["at"]]
        assert wearers == [[n for _, n in row.chain] for row in ladder.rows]
        low, high = published["axis"]
        assert low < min(rows["ratio"]) and max(rows["ratio"]) < high


def measured(**changed: Any) -> Measured:
    told: dict[str, Any] = {
        "configuration": "truskopim",
        "ratio": 2.0,
        "low90": 1.5,
        "high90": 3.0,
        "bound": "none",
        "chain": (("truskopim", 5),),
        "direct": Evidence(2.5, 1, 4),
        "indirect": Evidence(1.25, 1, 2),
        "disagree": False,
    }
    return Measured(**(told | changed))


def test_what_is_said_of_both_ways(demo: Dataset) -> None:
    both = measured()
    assert (ratio_text(both), interval_text(both)) == ("×2", "×1.5 to ×3")
    assert (direct_text(both), others_text(demo, both)) == ("×2.5, 5 wearers", "×1.25")
    assert others_text(demo, measured(disagree=True)) == "×1.25: differs from the wearers of both by more than luck"
    assert others_text(demo, measured(indirect=None)) == "–"


def test_a_chain_names_who_stands_behind_each_link(demo: Dataset) -> None:
    chained = measured(chain=(("brodipim", 3), ("truskopim", 1)), direct=None)
    assert direct_text(chained) == "–"
    assert others_text(demo, chained) == "through Brodipim, as sold (3 wearers) → Truskopim, as sold (1 wearer)"


def test_a_limit_alone_is_said_as_one(demo: Dataset) -> None:
    limit = measured(ratio=None, high90=None, bound="at_least", direct=None, indirect=None)
    assert (ratio_text(limit), interval_text(limit)) == ("–", "×1.5 or more")
    assert (direct_text(limit), others_text(demo, limit)) == ("5 wearers", "–")


def test_without_two_configurations_on_one_face_there_is_nothing_to_measure(demo: Dataset, tmp_path: Path) -> None:
    entries = tmp_path / "entries"
    shutil.copytree(demo.root, entries)
    shutil.rmtree(entries / "tests")
    data = build_dataset(entries)
    assert "Nobody has tried two configurations yet." in yardstick_page(data, Renderer(data)).html
    assert list(yardstick_files(data)) == []
