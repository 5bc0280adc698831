"""What lies far from what was expected is asked about; what scatters as donnings do is not."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from builder.findings.dataset import Dataset
from builder.fit.compare.nested_scatter import NestedScatter
from builder.review.oddities import UNUSUAL_P, beside_own_donnings, beside_prediction, oddities
from tests.fit.tables import scatter_of_all

PLAIN = scatter_of_all(0.2)


def table(*fit_factors: float, at_least: tuple[int, ...] = (), wearer: str = "blue-heron") -> pd.DataFrame:
    n = len(fit_factors)
    return pd.DataFrame(
        {
            "test": [f"drum/{wearer}-{i}" for i in range(n)],
            "configuration": "drum",
            "wearer": wearer,
            "facial_hair": "none",
            "fit_factor": np.array(fit_factors, dtype=float),
            "at_least": [i in at_least for i in range(n)],
            "counted": True,
        }
    )


def told(frame: pd.DataFrame, scatter: NestedScatter = PLAIN) -> list[str]:
    return [oddity.test for oddity in beside_own_donnings(frame, set(frame["test"]), scatter)]


def test_the_distance_is_that_from_the_mean_of_the_others() -> None:
    (odd,) = beside_own_donnings(table(10, 100, 120, 110), {"drum/blue-heron-0"}, PLAIN)
    expected = np.exp(np.log([100, 120, 110]).mean())
    assert odd.expected == pytest.approx(expected)
    assert (odd.others, odd.lower) == (3, True)
    assert odd.times == pytest.approx(expected / 10)
    assert odd.deviations == pytest.approx(np.log(10 / expected) / np.sqrt(0.2 * (1 + 1 / 3)))


def test_own_variance_is_moderated_by_what_the_others_scatter() -> None:
    scatter = scatter_of_all(0.2, arm_df=5.0)
    (odd,) = beside_own_donnings(table(2, 100, 120, 110), {"drum/blue-heron-0"}, scatter)
    others = np.log([100, 120, 110])
    variance = (5 * 0.2 + 2 * others.var(ddof=1)) / 7
    t = (np.log(2) - others.mean()) / np.sqrt(variance * (1 + 1 / 3))
    assert odd.deviations == pytest.approx(stats.norm.ppf(stats.t.cdf(t, 7)))


def test_by_chance_no_more_than_one_test_in_a_hundred_is_asked_about() -> None:
    rng = np.random.default_rng(1)
    frame = table(*np.exp(4 + np.sqrt(0.2) * rng.standard_normal(20_000)))
    frame["wearer"] = [f"w{i // 4}" for i in range(len(frame))]
    share = len(told(frame)) / len(frame)
    assert UNUSUAL_P / 2 < share < UNUSUAL_P


def test_only_the_tests_asked_about_are_told_of() -> None:
    frame = table(1, 100, 120, 110)
    assert told(frame) == ["drum/blue-heron-0"]
    assert beside_own_donnings(frame, {"drum/blue-heron-1"}, PLAIN) == ()


def test_a_single_donning_has_nothing_beside_it() -> None:
    assert told(pd.concat([table(1), table(1000, wearer="red-kite")], ignore_index=True)) == []


def test_a_take_set_aside_is_neither_odd_nor_a_measure() -> None:
    frame = table(1, 100, 120, 110)
    frame.loc[0, "counted"] = False
    assert told(frame) == []


def test_a_lower_limit_is_never_too_low_and_nothing_is_too_high_beside_one() -> None:
    assert told(table(1, 100, 110, at_least=(0,))) == []
    assert told(table(10_000, 100, 110, at_least=(0,))) == ["drum/blue-heron-0"]
    assert told(table(10_000, 100, 110, at_least=(1,))) == []
    assert told(table(1, 100, 110, at_least=(1,))) == ["drum/blue-heron-0"]


def test_equal_readings_are_no_trouble() -> None:
    assert told(table(100, 100, 100)) == []


def test_the_model_finds_a_reading_nobody_would_expect(demo: Dataset) -> None:
    assert demo.model is not None
    unusual = demo.model.unusual_tests()
    odd = set(unusual.loc[unusual["unusual"], "test"])
    found = beside_prediction(demo.table, set(demo.table["test"]), demo.model)
    assert {oddity.test for oddity in found} == odd
    for oddity in found:
        assert oddity.lower == (oddity.fit_factor < oddity.expected)
        assert abs(oddity.deviations) > 3


def test_a_test_is_told_of_once_and_the_farthest_comes_first(demo: Dataset) -> None:
    everything = set(demo.table["test"])
    found = oddities(demo.table, everything, demo.scatter, demo.model)
    assert len({oddity.test for oddity in found}) == len(found)
    distances = [abs(oddity.deviations) for oddity in found]
    assert distances == sorted(distances, reverse=True)
    assert oddities(demo.table, set(), demo.scatter, demo.model) == ()
