"""Each month's tests and the medians they moved."""

from __future__ import annotations

import math

import pandas as pd
import pytest

from builder.findings.dataset import Dataset
from builder.findings.month_by_month import MovedMedian, month_by_month
from builder.words.month_words import month_label, month_sentence


def table(rows: list[tuple[str, str, str, float, bool]]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=["date", "wearer", "configuration", "fit_factor", "at_least"])


SOME = table(
    [
        ("2024-09-30", "a", "m", 10.0, False),
        ("2024-10-01", "a", "m", 40.0, False),
        ("2024-10-02", "b", "m", 40.0, False),
        ("2024-10-02", "b", "m+p", 5.0, False),
        ("2024-12-24", "b", "m+p", 5.0, False),
    ]
)


def test_a_month_has_its_own_tests_and_what_they_moved() -> None:
    december, october, september = month_by_month(SOME, 12)
    assert (september.month, september.tests, september.first_tried, september.moved) == ("2024-09", 1, ("m",), ())
    assert (october.tests, october.wearers, october.first_tried) == (3, 2, ("m+p",))
    assert october.moved == (MovedMedian("m", 2, 10.0, False, 40.0, False),)
    assert october.moved[0].step == pytest.approx(math.log(4))
    # The same median again has not moved.
    assert (december.month, december.first_tried, december.moved) == ("2024-12", (), ())


def test_only_the_newest_months_are_given() -> None:
    assert [month.month for month in month_by_month(SOME, 2)] == ["2024-12", "2024-10"]
    assert month_by_month(SOME.iloc[:0], 2) == []


def test_the_last_month_ends_where_the_summary_stands(demo: Dataset) -> None:
    months = month_by_month(demo.counted, 1000)
    assert sum(month.tests for month in months) == len(demo.counted)
    tried = [configuration for month in months for configuration in month.first_tried]
    assert sorted(tried) == sorted(demo.counted["configuration"].unique())
    seen = set()
    for month in months:
        for moved in month.moved:
            if moved.configuration not in seen:
                row = demo.summary_by_id[moved.configuration]
                last = max(demo.counted.loc[demo.counted["configuration"] == moved.configuration, "date"].astype(str))
                if last[:7] == month.month:
                    assert moved.after == row["median_fit_factor"]
            seen.add(moved.configuration)
    assert seen


def test_a_month_is_said_in_words() -> None:
    assert month_label("2024-10") == "October 2024"
    assert month_sentence(month_by_month(SOME, 3)[1]) == "3 tests by 2 wearers."
