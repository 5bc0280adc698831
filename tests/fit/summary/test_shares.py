import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest
from statsmodels.stats.proportion import proportion_confint

from builder.fit.intervals import Interval
from builder.fit.summary.shares import wilson

trials = st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@pytest.mark.parametrize("level", [0.9, 0.95, 0.99])
@given(trial=trials)
def test_against_scipy_and_statsmodels(level: float, trial: tuple[int, int]) -> None:
    successes, n = trial
    interval = wilson(successes, n, level)
    scipy_interval = binomtest(successes, n).proportion_ci(level, method="wilson")
    low, high = proportion_confint(successes, n, alpha=1 - level, method="wilson")
    assert (interval.low, interval.high) == pytest.approx((scipy_interval.low, scipy_interval.high), abs=1e-12)
    assert (interval.low, interval.high) == pytest.approx((low, high), abs=1e-12)


def test_the_ends_are_exact() -> None:
    assert wilson(0, 7).low == 0
    assert wilson(7, 7).high == 1
    assert isinstance(wilson(1, 1), Interval)


@pytest.mark.parametrize(("successes", "n"), [(0, 0), (2, 1), (-1, 3)])
def test_impossible_counts_are_refused(successes: int, n: int) -> None:
    with pytest.raises(ValueError, match="successes"):
        wilson(successes, n)
