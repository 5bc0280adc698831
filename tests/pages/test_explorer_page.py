"""The explorer's page and data files, on a few entries written by hand."""

from __future__ import annotations

import itertools
import re
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from builder.findings.dataset import Dataset, build_dataset
from builder.fit.compare.methods import METHOD
from builder.fit.summary.summaries import summarise
from builder.site import explorer_page as explorer
from builder.site.published import PublishedFile, Renderer
from builder.words import summary_figures
from tests.conftest import unpacked

MASK = 'model = "{model}"\nmaker = "Bench"\nstyle = "cup"\nclass = "ffp2"\n[as_sold]\nstraps = "loops"\n'
PART = 'name = "{name}"\nslot = "straps"\nmaterial = "Elastic"\nfitting = "Pull."\ncan_be_undone = true\n'
TEST = """mask = "plain"
date = 2024-03-0{day}
contributor = "bench"
[configuration]
{changed}
[face]
wearer = "{wearer}"
{face}
facial_hair = "none"
[result]
protocol = "one-exercise"
fit_factor = {fit_factor}
{more}
"""


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    """Two masks, of which one was never tested; four counted tests of two wearers, and one set aside."""
    root = tmp_path_factory.mktemp("entries")
    here, there = "cell = 4\nnose_bridge = 'high'", "length_mm = 132\nwidth_mm = 148"
    files = {
        "masks/plain.toml": MASK.format(model="Plain"),
        "masks/untried.toml": MASK.format(model="<b>Untried</b> & more"),
        "parts/loops.toml": PART.format(name="Ear loops"),
        "parts/band.toml": PART.format(name="Band"),
        "tests/plain/2024-03-01-ann-1.toml": _test(1, "ann", here, 40),
        "tests/plain/2024-03-02-ann-1.toml": _test(2, "ann", here, 200, more="at_least = true"),
        "tests/plain/2024-03-02-ben-1.toml": _test(2, "ben", there, 90),
        "tests/plain/2024-03-03-ben-1.toml": _test(3, "ben", there, 9, more='set_aside = "hose off"'),
        "tests/plain/2024-03-04-ann-1.toml": _test(4, "ann", here, 150, changed='straps = "band"'),
    }
    for path, text in files.items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_text(text)
    return build_dataset(root)


def _test(day: int, wearer: str, face: str, fit_factor: float, *, changed: str = "", more: str = "") -> str:
    return TEST.format(day=day, wearer=wearer, face=face, fit_factor=fit_factor, changed=changed, more=more)


def files_of(data: Dataset) -> dict[str, PublishedFile]:
    """The explorer's files by their names."""
    files = (*explorer.explorer_files(data), *explorer.face_files(data))
    return {re.sub(r"^explore/|[.](json|packed)$", "", file.path): file for file in files}


def read(data: Dataset, name: str) -> Any:
    return unpacked(files_of(data)[name])


def columns(over: Any) -> dict[str, list[Any]]:
    """The columns of a file over a face type or a method, with words that repeat written out."""
    return {
        name: [column["words"][place] for place in column["at"]] if isinstance(column, dict) else column
        for name, column in over["configurations"].items()
    }


def test_every_configuration_and_every_untested_mask_is_listed(data: Dataset) -> None:
    rows = explorer.configuration_rows(data)
    assert [(row.id, row.mask_label, row.change) for row in rows] == [
        ("plain+band", "Plain", "Band"),
        ("plain", "Plain", "as sold"),
        ("untried", "<b>Untried</b> & more", "as sold"),
    ]


def test_straps_are_those_in_effect(data: Dataset) -> None:
    assert {row.id: row.straps for row in explorer.configuration_rows(data)} == {
        "plain": "loops",
        "plain+band": "band",
        "untried": "loops",
    }


def test_columns_are_equally_long_and_without_tests_null(data: Dataset) -> None:
    columns = read(data, "configurations")["configurations"]
    assert {len(column) for column in columns.values()} == {3}
    assert columns["tests"] == [1, 3, 0]
    assert columns["set_aside"] == [0, 1, 0]
    assert columns["median_fit_factor"] == [150.0, 90.0, None]
    assert columns["highest_at_least"] == [False, True, False]
    # "At least 40", the median of one of the two wearers, may reach 100 or not.
    assert columns["share_wearers"] == [1, 1, 0]


def test_the_figures_are_those_of_the_summary(demo: Dataset) -> None:
    published = read(demo, "configurations")["configurations"]
    index = pd.Index(published["id"], name="configuration")
    figures = pd.DataFrame({name: published[name] for name in explorer.FIGURES}, index)
    summary = demo.summary.set_index("configuration")[list(explorer.FIGURES)]
    pd.testing.assert_frame_equal(figures.loc[summary.index], summary, check_dtype=False, check_index_type=False)


def test_each_face_type_that_can_be_chosen_has_the_figures_of_its_wearers(demo: Dataset) -> None:
    options = explorer.filter_options(demo, explorer.configuration_rows(demo))
    cells, bridges = (["", *(option.value for option in of)] for of in (options.cell, options.bridge))
    files = files_of(demo)
    compared = 0
    for cell, bridge in itertools.product(cells, bridges):
        if not cell and not bridge:
            continue
        over = unpacked(files[f"faces/{cell or 'any'}-{bridge or 'any'}"])
        table = demo.table
        table = table[((table["cell"] == cell) | (cell == "")) & ((table["nose_bridge"] == bridge) | (bridge == ""))]
        summary = summarise(table)
        expected = summary[summary["tests"] > 0].set_index("configuration")[list(explorer.FIGURES)]
        given = pd.DataFrame({name: columns(over)[name] for name in ("id", *explorer.FIGURES)})
        counted = table[table["counted"]]
        assert over["wearers"] == counted["wearer"].nunique()
        assert over["methods"] == len(counted[METHOD].drop_duplicates())
        assert given["id"].tolist() == expected.index.tolist()
        for name in explorer.FIGURES:
            np.testing.assert_allclose(given[name].to_numpy(float), expected[name].to_numpy(float), rtol=1e-9)
        compared += len(expected)
    assert compared > 100


def test_a_face_type_that_nobody_has_is_an_empty_list(data: Dataset) -> None:
    over = read(data, "faces/10-high")
    assert over["wearers"] == 0
    assert set(over["configurations"]) == {"id", *explorer.FIGURES}
    assert not any(columns(over).values())


def test_each_method_has_the_figures_of_its_tests_for_each_face_type(demo: Dataset) -> None:
    options = explorer.filter_options(demo, explorer.configuration_rows(demo))
    assert len(options.method) == 5
    files = files_of(demo)
    compared = 0
    for method, face in itertools.product(options.method, ("any-any", "4-any", "any-high", "7-medium")):
        over = unpacked(files[f"methods/{method.value}/{face}"])
        words = [word.replace("not-told", "") for word in method.value.split(".")]
        cell, bridge = face.split("-")
        table = demo.table[(demo.table[METHOD] == words).all(axis=1)]
        table = table[
            ((table["cell"] == cell) | (cell == "any")) & ((table["nose_bridge"] == bridge) | (bridge == "any"))
        ]
        summary = summarise(table)
        expected = summary[summary["tests"] > 0].set_index("configuration")
        given = pd.DataFrame(columns(over)).set_index("id")
        assert over["wearers"] == table.loc[table["counted"], "wearer"].nunique()
        assert given.index.tolist() == expected.index.tolist()
        for name in explorer.FIGURES:
            np.testing.assert_allclose(given[name].to_numpy(float), expected[name].to_numpy(float), rtol=1e-9)
        compared += len(expected)
    assert compared > 100


def test_the_page_says_that_methods_are_mixed_and_offers_each(demo: Dataset, data: Dataset) -> None:
    html = explorer.explorer_page(demo, Renderer(demo)).html
    assert "Measured in 5 ways, mixed in these figures, on 16 wearers." in html
    assert (
        '<option value="one-exercise.optical-counter.all-sizes">'
        "One exercise · Optical counter · All sizes (113 tests, 14 wearers)</option>"
    ) in html
    alone = explorer.explorer_page(data, Renderer(data)).html
    assert "All measured by one method: One exercise · not told · not told." in alone
    assert 'name="method"' not in alone
    assert not any("/methods/" in file.path for file in explorer.face_files(data))


def test_filters_offer_what_the_data_holds(data: Dataset) -> None:
    options = explorer.filter_options(data, explorer.configuration_rows(data))
    assert [option.value for option in options.style] == ["cup"]
    assert [option.value for option in options.mask_class] == ["ffp2"]
    assert [option.label for option in options.straps] == ["Band", "Ear loops"]
    assert [option.value for option in options.hack] == ["as_sold", "any_part", "band"]
    assert [(option.value, option.label) for option in options.cell] == [("4", "4 (1 wearer)"), ("10", "10 (1 wearer)")]
    assert [option.label for option in options.bridge] == ["High (1 wearer)", "Not judged (1 wearer)"]


def test_the_page_has_every_row_escaped(data: Dataset) -> None:
    html = explorer.explorer_page(data, Renderer(data)).html
    assert html.count('<tr role="row">') == 1 + 3
    assert "&lt;b&gt;Untried&lt;/b&gt; &amp; more" in html
    assert "<b>Untried" not in html
    assert "<script" not in html
    assert "more configuration" not in html


def test_a_long_list_says_how_many_more_there_are(data: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(explorer, "ROWS_WITHOUT_SCRIPT", 1)
    html = explorer.explorer_page(data, Renderer(data)).html
    assert html.count('<tr role="row">') == 1 + 1
    assert '2 more configurations in <a href="../data/configurations.csv">' in html


@pytest.mark.parametrize(
    ("figures", "texts"),
    [
        (
            {"lowest_fit_factor": 12.34, "highest_fit_factor": 1125.0, "highest_at_least": True},
            "12.3–≥\u202f1\u202f120",
        ),
        ({"lowest_fit_factor": 90.0, "highest_fit_factor": 90.0, "highest_at_least": False}, "90"),
        ({"lowest_fit_factor": 500.0, "highest_fit_factor": 500.0, "highest_at_least": True}, "≥\u202f500"),
        ({"lowest_fit_factor": float("nan"), "highest_fit_factor": float("nan"), "highest_at_least": False}, "–"),
    ],
)
def test_range_label(figures: dict[str, object], texts: str) -> None:
    assert summary_figures.range_label(figures) == texts


def test_a_share_is_printed_as_wearers_with_an_interval() -> None:
    figures = {"share_at_100": 0.75, "share_at_100_low": 0.30064, "share_at_100_high": 0.95441, "share_wearers": 4}
    assert summary_figures.reach_label(figures) == "3 of 4"
    assert summary_figures.interval_label(figures) == "30–95 %"
    nobody = {key: float("nan") for key in figures} | {"share_wearers": 0}
    assert (summary_figures.reach_label(nobody), summary_figures.interval_label(nobody)) == ("–", "")


def test_leakage_of_a_lower_limit_is_an_upper_limit() -> None:
    assert summary_figures.leakage_label({"til_percent": 0.2, "median_at_least": True}) == "≤\u202f0.2 %"
    assert summary_figures.leakage_label({"til_percent": float("nan"), "median_at_least": False}) == "–"


def test_an_empty_database_says_what_to_do(tmp_path: Path) -> None:
    empty = build_dataset(tmp_path)
    html = explorer.explorer_page(empty, Renderer(empty)).html
    assert 'Nobody has tested a mask yet. <a href="../contribute/">Add the first test.</a>' in html
    assert "<form" not in html
