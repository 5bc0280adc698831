"""A reference day by day: by hand, beside SciPy, and simulated with a bench that stays and one that moves."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from builder.fit.compare.reference_drift import ReferenceDrift, reference_drift
from builder.fit.levels import MOVED_P

DAYS = ["2026-09-01", "2026-09-08", "2026-09-15", "2026-09-22"]


def simulated(
    seed: int, shift: float = 0.0, rounds: int = 2000, sd: float = 0.5, df: float = 1e9
) -> list[ReferenceDrift]:
    """Four days of three donnings each, the last day `shift` higher on ln FF."""
    random = np.random.default_rng(seed)
    ln = random.normal(4.6, sd, (rounds, 12)) + np.repeat([0, 0, 0, shift], 3)
    found: list[ReferenceDrift] = []
    for row in ln:
        # What is known of the variance is itself uncertain where df is finite.
        known = sd**2 if df > 1e6 else sd**2 * random.chisquare(df) / df
        one = reference_drift(list(np.repeat(DAYS, 3)), np.exp(row), known, df)
        assert one is not None
        found.append(one)
    return found


def test_two_days_by_hand() -> None:
    found = reference_drift(["2026-09-02", "2026-09-01", "2026-09-01"], [50, 100, 100], 0.25, 10)
    assert found is not None
    first, second = found.days
    assert (first.date, first.donnings) == ("2026-09-01", 2)
    assert first.level == pytest.approx(100)
    assert [second.ratio, first.ratio] == pytest.approx([0.5, 2])
    reach = stats.t.ppf(0.975, 10) * 0.5 * math.sqrt(1 + 1 / 2)
    assert second.interval.low == pytest.approx(0.5 * math.exp(-reach))
    assert second.interval.high == pytest.approx(0.5 * math.exp(reach))
    # With two days the test of all is the t-test of the one difference.
    assert found.p == pytest.approx(2 * stats.t.sf(math.log(2) / (0.5 * math.sqrt(1.5)), 10))


def test_with_the_scatter_of_the_days_themselves_it_is_the_analysis_of_variance() -> None:
    """`scipy.stats.f_oneway`, for days of any number of donnings."""
    random = np.random.default_rng(4)
    groups = [random.normal(4, 0.4, n) for n in (3, 2, 5, 4)]
    inside = sum(((group - group.mean()) ** 2).sum() for group in groups) / (14 - 4)
    dates = [day for day, group in zip(DAYS, groups, strict=True) for _ in group]
    found = reference_drift(dates, np.exp(np.concatenate(groups)), inside, 10)
    assert found is not None
    assert found.p == pytest.approx(stats.f_oneway(*groups).pvalue)


def test_a_single_day_says_nothing() -> None:
    assert reference_drift(["2026-09-01"] * 3, [50, 60, 70], 0.25, 10) is None
    assert reference_drift([], [], 0.25, 10) is None


@pytest.mark.parametrize("df", [1e9, 12])
def test_a_bench_that_stays_is_seldom_called_moved(df: float) -> None:
    """2,000 benches: three standard errors around 1 %, and around the 95 % of each interval."""
    found = simulated(1, df=df)
    assert np.mean([one.moved for one in found]) == pytest.approx(MOVED_P, abs=3 * math.sqrt(0.01 * 0.99 / 2000))
    covered = np.mean([one.days[-1].interval.low <= 1 <= one.days[-1].interval.high for one in found])
    assert covered == pytest.approx(0.95, abs=3 * math.sqrt(0.95 * 0.05 / 2000))


def test_a_bench_that_moved_is_found_and_its_day_named() -> None:
    """A last day four times as high, where donnings differ with a GSD of 1.65."""
    found = simulated(2, shift=math.log(4))
    # A noncentral χ² of three degrees of freedom, of 3 donnings a day and a quarter of the days moved.
    power = stats.ncx2.sf(stats.chi2.isf(MOVED_P, 3), 3, 3 * 0.75 * math.log(4) ** 2 / 0.5**2)
    assert np.mean([one.moved for one in found]) == pytest.approx(power, abs=3 * math.sqrt(power * (1 - power) / 2000))
    assert np.mean([one.oddest.date == DAYS[-1] for one in found]) > 0.95
    assert np.median([one.days[-1].ratio for one in found]) == pytest.approx(4, rel=0.03)
