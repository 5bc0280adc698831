"""Geometric mean and GSD by group."""

import math

import numpy as np
import pytest

from builder.fit.summary.censored_normal import censored_normal
from builder.fit.summary.geometric import grouped_geometric


def test_figures_of_groups() -> None:
    values = np.array([10.0, 40.0, 50.0, 200.0, 80.0, 200.0, 200.0, 90.0])
    at_least = np.array([False, False, False, True, False, True, True, False])
    groups = np.array([0, 0, 1, 1, 1, 2, 2, 4])
    found = grouped_geometric(values, at_least, groups, 5)
    mu, sigma = censored_normal(np.log([50, 200, 80]), [False, True, False])
    assert found.mean.tolist() == pytest.approx([20, math.exp(mu), 200, math.nan, 90], nan_ok=True)
    spread = [math.exp(math.log(4) / math.sqrt(2)), math.exp(sigma * math.sqrt(2)), math.nan, math.nan, math.nan]
    assert found.gsd.tolist() == pytest.approx(spread, nan_ok=True)
    assert found.at_least.tolist() == [False, False, True, False, False]


def test_a_limit_counts_for_more_than_its_value() -> None:
    values = np.array([50.0, 80.0, 120.0, 200.0])
    groups = np.zeros(4, dtype=np.intp)
    exact = grouped_geometric(values, np.zeros(4, dtype=bool), groups, 1)
    limited = grouped_geometric(values, values >= 200, groups, 1)
    assert limited.mean[0] > exact.mean[0]
    assert limited.gsd[0] > exact.gsd[0]
