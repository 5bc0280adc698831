import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.summary.censored_normal import censored_normal
from builder.fit.summary.censoring import median
from builder.fit.summary.shares import wilson
from builder.fit.summary.summaries import FIGURES, summarise, summarise_by

Row = tuple[str, str, str, float, bool, bool]


def tidy(*rows: Row, cells: list[str] | None = None) -> pd.DataFrame:
    """Rows of mask, parts, wearer, fit factor, at least, counted."""
    table = pd.DataFrame(rows, columns=["mask", "parts", "wearer", "fit_factor", "at_least", "counted"])
    table = table.astype({"fit_factor": float, "at_least": bool, "counted": bool})
    table["configuration"] = [
        mask if not parts else f"{mask}+{parts}" for mask, parts in zip(table["mask"], table["parts"], strict=True)
    ]
    if cells is not None:
        table["cell"] = cells
    return table


def only(table: pd.DataFrame) -> pd.Series:
    summary = summarise(table)
    assert len(summary) == 1
    return summary.iloc[0]


def test_columns_and_order() -> None:
    table = tidy(
        ("tern-2", "", "ash", 10, False, True),
        ("tern", "wire+pad", "ash", 10, False, True),
        ("tern", "pad", "ash", 10, False, True),
        ("tern", "", "ash", 10, False, True),
    )
    summary = summarise(table)
    assert list(summary.columns) == ["configuration", "mask", "parts", *FIGURES]
    assert summary["configuration"].tolist() == ["tern", "tern+pad", "tern+wire+pad", "tern-2"]
    assert summary.index.tolist() == [0, 1, 2, 3]


def test_a_configuration() -> None:
    row = only(
        tidy(
            ("tern", "", "ash", 20, False, True),
            ("tern", "", "ash", 80, False, True),
            ("tern", "", "ash", 140, False, True),
            ("tern", "", "elm", 100, False, True),
            ("tern", "", "oak", 5, False, False),
        )
    )
    assert (row["tests"], row["wearers"], row["set_aside"]) == (4, 2, 1)
    assert (row["median_fit_factor"], row["lowest_fit_factor"], row["highest_fit_factor"]) == (90, 20, 140)
    assert row["til_percent"] == pytest.approx(100 / 90)
    assert row["geometric_mean"] == pytest.approx((20 * 80 * 140 * 100) ** 0.25)
    assert row["gsd"] == pytest.approx(math.exp(np.std(np.log([20, 80, 140, 100]), ddof=1)))
    # By wearer: medians 80 and 100.
    assert row["wearer_median_fit_factor"] == 90
    assert (row["share_at_100"], row["share_wearers"]) == (0.5, 2)
    interval = wilson(1, 2)
    assert (row["share_at_100_low"], row["share_at_100_high"]) == (interval.low, interval.high)
    assert not row[["median_at_least", "highest_at_least", "wearer_median_at_least"]].any()


def test_a_keen_wearer_is_still_one_face() -> None:
    rows: list[Row] = [("tern", "", "ash", 300, False, True)] * 20
    row = only(tidy(*rows, ("tern", "", "elm", 50, False, True), ("tern", "", "oak", 60, False, True)))
    assert row["median_fit_factor"] == 300
    assert row["wearer_median_fit_factor"] == 60
    assert row["share_at_100"] == pytest.approx(1 / 3)


def test_only_set_aside_tests() -> None:
    row = only(tidy(("tern", "", "ash", 20, False, False), ("tern", "", "ash", 200, True, False)))
    assert (row["tests"], row["wearers"], row["set_aside"], row["share_wearers"]) == (0, 0, 2, 0)
    figures = [name for name in FIGURES if name not in {"tests", "wearers", "set_aside", "share_wearers"}]
    flags = [name for name in figures if name.endswith("at_least")]
    assert not row[flags].any()
    assert row[[name for name in figures if name not in flags]].isna().all()


def test_one_test_has_no_gsd() -> None:
    row = only(tidy(("tern", "", "ash", 20, False, True)))
    assert row["geometric_mean"] == pytest.approx(20)
    assert math.isnan(row["gsd"])


def test_at_least_readings() -> None:
    row = only(
        tidy(
            ("tern", "", "ash", 200, True, True),
            ("tern", "", "ash", 200, True, True),
            ("tern", "", "elm", 50, False, True),
            ("tern", "", "oak", 200, True, True),
        )
    )
    assert (row["median_fit_factor"], row["median_at_least"]) == (200, True)
    assert (row["highest_fit_factor"], row["highest_at_least"]) == (200, True)
    assert (row["wearer_median_fit_factor"], row["wearer_median_at_least"]) == (200, True)
    assert (row["geometric_mean"], row["geometric_mean_at_least"]) == (pytest.approx((200**3 * 50) ** 0.25), True)
    assert math.isnan(row["gsd"])
    assert (row["share_at_100"], row["share_wearers"]) == (pytest.approx(2 / 3), 3)


def test_limits_enter_the_geometric_mean_by_likelihood() -> None:
    exact: list[Row] = [("tern", "", "ash", 40, False, True), ("tern", "", "elm", 90, False, True)]
    row = only(tidy(*exact, ("tern", "", "oak", 200, True, True)))
    mu, sigma = censored_normal(np.log([40, 90, 200]), [False, False, True])
    assert (row["geometric_mean"], row["geometric_mean_at_least"]) == (pytest.approx(math.exp(mu)), False)
    # Two exact readings: as n − 1 does for these.
    assert row["gsd"] == pytest.approx(math.exp(sigma * math.sqrt(2)))


def test_the_top_is_marked_only_where_an_at_least_reading_reaches_it() -> None:
    lower = only(tidy(("tern", "", "ash", 50, True, True), ("tern", "", "ash", 80, False, True)))
    assert not lower["highest_at_least"]
    tied = only(tidy(("tern", "", "ash", 80, True, True), ("tern", "", "ash", 80, False, True)))
    assert tied["highest_at_least"]


def test_a_wearer_known_only_to_be_above_something_lower_is_left_out_of_the_share() -> None:
    table = tidy(("tern", "", "ash", 60, True, True), ("tern", "", "elm", 90, False, True))
    row = only(table)
    assert (row["wearers"], row["share_wearers"], row["share_at_100"]) == (2, 1, 0)
    nobody = only(table[table["wearer"] == "ash"])
    assert nobody["share_wearers"] == 0
    assert nobody[["share_at_100", "share_at_100_low", "share_at_100_high"]].isna().all()


def test_by_other_keys() -> None:
    table = tidy(
        ("tern", "", "ash", 100, False, True),
        ("tern", "", "ash", 300, False, True),
        ("tern", "pad", "ash", 50, False, True),
        ("tern", "", "elm", 70, False, True),
        cells=["4", "4", "4", "7"],
    )
    by_wearer = summarise_by(table, ["configuration", "wearer"])
    assert list(by_wearer.columns) == ["configuration", "wearer", *FIGURES]
    assert by_wearer["median_fit_factor"].tolist() == [200, 70, 50]
    by_cell = summarise_by(table, ["cell"])
    assert by_cell["cell"].tolist() == ["4", "7"]
    assert by_cell["tests"].tolist() == [3, 1]


def test_an_empty_table_has_an_empty_summary() -> None:
    summary = summarise(tidy())
    assert list(summary.columns) == ["configuration", "mask", "parts", *FIGURES]
    assert summary.empty


def test_the_table_is_left_as_it_was() -> None:
    table = tidy(("tern", "", "ash", 20, False, True))
    before = table.copy()
    summarise(table)
    pd.testing.assert_frame_equal(table, before)


rows = st.tuples(
    st.sampled_from(["tern", "wren"]),
    st.sampled_from(["", "pad"]),
    st.sampled_from(["ash", "elm", "oak"]),
    st.one_of(st.sampled_from([50.0, 100.0, 200.0]), st.floats(1, 1000)),
    st.booleans(),
    st.booleans(),
)


@given(st.lists(rows, min_size=1, max_size=40))
def test_as_one_by_one(drawn: list[Row]) -> None:
    table = tidy(*drawn)
    for row in summarise(table).to_dict("records"):
        tests = table[(table["configuration"] == row["configuration"]) & table["counted"]]
        assert row["tests"] == len(tests)
        if tests.empty:
            continue
        expected = median(tests["fit_factor"], tests["at_least"])
        assert (row["median_fit_factor"], row["median_at_least"]) == (expected.value, expected.at_least)
        own = [median(its["fit_factor"], its["at_least"]) for _, its in tests.groupby("wearer")]
        over_wearers = median([one.value for one in own], [one.at_least for one in own])
        assert row["wearer_median_fit_factor"] == over_wearers.value
        assert row["wearer_median_at_least"] == over_wearers.at_least
        known = [one for one in own if one.value >= 100 or not one.at_least]
        assert (row["wearers"], row["share_wearers"]) == (len(own), len(known))
        if known:
            assert row["share_at_100"] == sum(one.value >= 100 for one in known) / len(known)
        at_limits = np.exp(np.log(tests["fit_factor"]).mean())
        if row["geometric_mean_at_least"] or not tests["at_least"].any():
            assert row["geometric_mean"] == pytest.approx(at_limits)
        else:
            assert row["geometric_mean"] > at_limits


def test_a_hundred_thousand_tests_keep_every_configuration() -> None:
    rng = np.random.default_rng(0)
    n = 100_000
    numbers = rng.integers(0, 3000, n)
    masks = np.char.add("mask-", (numbers // 10).astype(str))
    parts = np.where(numbers % 10 == 0, "", np.char.add("part-", (numbers % 10).astype(str)))
    fit_factors = np.exp(rng.normal(4.6, 1, n))
    table = pd.DataFrame(
        {
            "mask": masks,
            "parts": parts,
            "configuration": np.where(parts == "", masks, np.char.add(np.char.add(masks, "+"), parts)),
            "wearer": np.char.add("wearer-", rng.integers(0, 2000, n).astype(str)),
            "fit_factor": np.minimum(fit_factors, 500),
            "at_least": fit_factors >= 500,
            "counted": rng.random(n) > 0.02,
        }
    )
    summary = summarise(table)
    assert len(summary) == 3000
