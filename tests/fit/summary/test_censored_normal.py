"""Maximum likelihood with limits: against a general optimiser, and where there is no maximum."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize
from scipy.stats import norm

from builder.fit.arrays import FloatArray
from builder.fit.summary.censored_normal import censored_normal, grouped_censored_normal


def log_likelihood(mu: float, sigma: float, values: list[float], at_least: list[bool]) -> float:
    y, limited = np.array(values), np.array(at_least)
    return float(norm.logpdf(y[~limited], mu, sigma).sum() + norm.logsf(y[limited], mu, sigma).sum())


def test_without_limits_it_is_mean_and_root_mean_square() -> None:
    assert censored_normal([1.0, 2.0, 6.0], [False] * 3) == pytest.approx((3.0, np.std([1, 2, 6])))


def test_against_a_general_optimiser() -> None:
    values, limited = [4.1, 4.6, 5.3, 5.0, 5.3, 3.9], [False, False, True, False, True, False]

    def lack(at: FloatArray) -> float:
        return -log_likelihood(float(at[0]), float(np.exp(at[1])), values, limited)

    best = minimize(lack, np.array([4.5, 0.0]), method="Nelder-Mead")
    mu, sigma = censored_normal(values, limited)
    assert (mu, np.log(sigma)) == pytest.approx(best.x.tolist(), abs=1e-3)
    assert log_likelihood(mu, sigma, values, limited) >= -best.fun


@pytest.mark.parametrize(
    ("values", "limited"),
    [
        ([4.0], [False]),
        ([4.0, 5.3], [False, True]),
        ([5.3, 5.3], [True] * 2),
        ([4, 4], [False] * 2),
        ([0.0, 5e-324], [False] * 2),
    ],
)
def test_no_maximum_without_two_exact_values_that_differ(values: list[float], limited: list[bool]) -> None:
    assert np.isnan(censored_normal(values, limited)).all()


def test_groups_are_by_themselves() -> None:
    values = np.array([4.1, 5.3, 4.6, 1.0, 2.0, 5.3, 5.0])
    limited = np.array([False, True, False, False, False, True, False])
    groups = np.array([0, 0, 0, 2, 2, 3, 0])
    found = grouped_censored_normal(values, limited, groups, 5)
    assert (found.mu[0], found.sigma[0]) == pytest.approx(censored_normal(values[groups == 0], limited[groups == 0]))
    assert (found.mu[2], found.sigma[2]) == pytest.approx((1.5, 0.5))
    assert np.isnan(found.mu[[1, 3, 4]]).all()


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(0, 8), st.booleans()), min_size=2, max_size=12))
def test_it_is_a_maximum_wherever_there_is_one(readings: list[tuple[float, bool]]) -> None:
    values, limited = [y for y, _ in readings], [flag for _, flag in readings]
    exact = [y for y, flag in readings if not flag]
    mu, sigma = censored_normal(values, limited)
    if len(exact) < 2 or np.ptp(exact) <= 1e-9:
        assert np.isnan(mu)
        return
    if np.ptp(exact) < 1e-3:
        return
    at = log_likelihood(mu, sigma, values, limited)
    for step in (-0.01, 0.01):
        assert log_likelihood(mu + step * sigma, sigma, values, limited) <= at + 1e-9
        assert log_likelihood(mu, sigma * (1 + step), values, limited) <= at + 1e-9
