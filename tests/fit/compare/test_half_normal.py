"""Grids for standard deviations."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.compare.half_normal import HalfNormalGrid


def test_seven_nodes_denser_near_zero() -> None:
    grid = HalfNormalGrid(0.5)
    assert grid.values == pytest.approx(1.5 * ((np.arange(7) + 0.5) / 7) ** 1.5)
    assert grid.edges[[0, -1]].tolist() == [0.0, 1.5]
    assert grid.weights.sum() == pytest.approx(1)


def test_moments_of_the_prior() -> None:
    """Mean 0.798 and mean square 1 of a half-normal, cut off at three scales."""
    grid = HalfNormalGrid(1.0, nodes=400)
    assert float(grid.weights @ grid.values) == pytest.approx(0.7913, abs=1e-3)
    assert float(HalfNormalGrid(1.0).weights @ HalfNormalGrid(1.0).values ** 2) == pytest.approx(0.97, abs=0.02)


def test_interval_is_spread_over_steps() -> None:
    grid = HalfNormalGrid(1.0, nodes=2)
    interval = grid.interval(np.array([1.0, 0.0]), 0.5)
    assert (interval.low, interval.high) == pytest.approx((0.25 * grid.edges[1], 0.75 * grid.edges[1]))


def test_narrowed_to_where_the_weight_is() -> None:
    weights = np.array([1e-6, 1e-5, 0.7, 0.3, 1e-5, 0, 0])
    narrowed = HalfNormalGrid(0.5).narrowed(weights)
    assert narrowed.edges[[0, -1]] == pytest.approx(HalfNormalGrid(0.5).edges[[2, 4]])
    assert narrowed.nodes == 7


@given(st.lists(st.floats(0, 1), min_size=7, max_size=7).filter(lambda w: sum(w) > 0.01))
def test_narrowing_loses_little(weights: list[float]) -> None:
    grid = HalfNormalGrid(0.5)
    share = np.array(weights) / sum(weights)
    narrowed = grid.narrowed(share)
    inside = (grid.values > narrowed.edges[0]) & (grid.values < narrowed.edges[-1])
    assert share[inside].sum() >= 1 - 2e-3 - 1e-12
