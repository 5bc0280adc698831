"""Interactions drawn towards none."""

from dataclasses import replace
from itertools import product

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.fit.compare.factorial import fit_interaction
from builder.fit.compare.grid import Grid
from builder.fit.compare.interactions import INTERACTION_SD, AveragedArms, ShrunkArms, pair_weights

SLOTS = ["straps", "edge", "brace"]


def grid_of(means: list[float], variance: float = 0.2, kept: list[int] | None = None) -> Grid:
    """Arms of two or three slots with a part each, in the order of binary numbers; two donnings each."""
    slots = {4: 2, 8: 3}[len(means)]
    held = np.array(list(product(["", "part"], repeat=slots)))
    arms = pd.DataFrame(held, columns=SLOTS[:slots])
    arms = arms.assign(configuration=[str(i) for i in range(len(held))], mean=means)
    chosen = arms if kept is None else arms.iloc[kept]
    return Grid.of(chosen, SLOTS[:slots], variance / 2 * np.eye(len(chosen)))


def test_two_by_two_in_closed_form() -> None:
    """One contrast of four arms: drawn by s²/(s² + v/n), the main effects as they are."""
    grid = grid_of([3.0, 3.4, 3.5, 4.8])
    weights = pair_weights(grid, 0, 1)
    assert weights is not None
    assert weights.beyond.tolist() == pytest.approx([1, -1, -1, 1])
    drawn, se = ShrunkArms(grid, sd=0.23).estimate(weights.beyond)
    part = 0.23**2 / (0.23**2 + 0.1)
    assert drawn == pytest.approx(part * (4.8 - 3.5 - 3.4 + 3.0))
    assert se == pytest.approx(2 * 0.23 * (1 - part) ** 0.5)
    apart, together = (ShrunkArms(grid).estimate(one)[0] for one in (weights.apart, weights.together))
    # Drawn together, with their mean as it was.
    assert 3.5 - 3.0 < apart < together < 4.8 - 3.4
    assert (apart + together) / 2 == pytest.approx((3.5 - 3.0 + 4.8 - 3.4) / 2)


def test_without_shrinking_it_is_least_squares() -> None:
    grid = grid_of([3.0, 3.4, 3.5, 4.8, 2.9, 3.0, 4.4, 4.6])
    weights = pair_weights(grid, 0, 2)
    assert weights is not None
    fit = fit_interaction(grid, 0, 2)
    unit = np.eye(5)
    free = ShrunkArms(grid, sd=1e3)
    for wanted, own in ((unit[1], weights.apart), (unit[1] + unit[4], weights.together), (unit[4], weights.beyond)):
        assert free.estimate(own) == pytest.approx(fit.estimate(wanted), rel=1e-4)


def test_interaction_of_a_grid_of_three_has_the_stated_sd() -> None:
    weights = pair_weights(grid_of([0.0] * 8), 0, 1)
    assert weights is not None
    prior = np.linalg.norm(weights.beyond) * ShrunkArms(grid_of([0.0] * 8)).sd
    assert prior == pytest.approx(INTERACTION_SD)


def test_pairs_that_the_arms_cannot_tell() -> None:
    assert pair_weights(grid_of([3.0, 3.4, 3.5, 4.8], kept=[0, 1, 2]), 0, 1) is None
    partly = grid_of([3.0, 3.4, 3.5, 4.8, 2.9, 3.0, 4.4, 4.6], kept=[0, 1, 2, 3, 4])
    assert pair_weights(partly, 1, 2) is not None
    assert pair_weights(partly, 0, 1) is None


def test_errors_are_those_of_draws() -> None:
    """True arms and readings drawn from the model: errors have the variance that is claimed."""
    rng = np.random.default_rng(6)
    grid = grid_of([0.0] * 8, kept=[0, 1, 2, 3, 5, 6, 7])
    weights = pair_weights(grid, 0, 1)
    assert weights is not None
    shrunk = ShrunkArms(grid)
    true = rng.normal(0, shrunk.sd, (20_000, 7)) + grid.design @ np.array([3.0, 0.4, -0.2, 0.7])
    readings = true + rng.normal(0, 0.1**0.5, true.shape)
    for one in (weights.apart, weights.together, weights.beyond):
        # The prediction is linear in the readings: its coefficients are those of single arms.
        unit = [replace(grid, y=arm) for arm in np.eye(7)]
        coefficients = np.array([ShrunkArms(of_arm).estimate(one)[0] for of_arm in unit])
        errors = readings @ coefficients - true @ one
        assert errors.mean() == pytest.approx(0, abs=0.02)
        assert errors.std() == pytest.approx(shrunk.estimate(one)[1], rel=0.02)


@settings(deadline=None)
@given(st.lists(st.floats(-3, 8), min_size=4, max_size=4), st.floats(0.01, 2))
def test_drawn_towards_none(means: list[float], variance: float) -> None:
    grid = grid_of(means, variance)
    weights = pair_weights(grid, 0, 1)
    assert weights is not None
    plain = float(weights.beyond @ grid.y)
    drawn, se = ShrunkArms(grid).estimate(weights.beyond)
    assert abs(drawn) <= abs(plain) + 1e-9
    assert drawn * plain >= -1e-9
    assert 0 < se <= 2 * ShrunkArms(grid).sd + 1e-9


def test_arms_that_miss_the_product_widely_are_drawn_less() -> None:
    def kept(interaction: float) -> float:
        grid = grid_of([3.0, 3.4, 3.5, 3.9 + interaction])
        weights = pair_weights(grid, 0, 1)
        assert weights is not None
        return AveragedArms.of(grid).estimate(weights.beyond)[0] / interaction

    assert 0.1 < kept(0.1) < kept(1.0) < kept(2.0) < 0.9


def test_what_is_not_known_of_the_sd_widens_the_error() -> None:
    grid = grid_of([3.0, 3.4, 3.5, 5.3])
    weights = pair_weights(grid, 0, 1)
    assert weights is not None
    averaged = AveragedArms.of(grid)
    assert averaged.shares.sum() == pytest.approx(1)
    drawn, se = averaged.estimate(weights.beyond)
    each = [one.estimate(weights.beyond) for one in averaged.arms]
    assert min(value for value, _ in each) < drawn < max(value for value, _ in each)
    assert se > float(averaged.shares @ [error for _, error in each])


def test_evidence_is_the_likelihood_of_what_the_design_leaves() -> None:
    """In a complete grid of four, one contrast is left: normal with four times an arm's variance."""
    heights = []
    for last in (4.8, 3.9):
        one = ShrunkArms(grid_of([3.0, 3.4, 3.5, last]), sd=0.3)
        heights.append(one.log_evidence)
    variance = 4 * (0.3**2 + 0.1)
    assert heights[0] - heights[1] == pytest.approx(-0.5 * 0.9**2 / variance)
    # A design that cannot tell its parts apart has an evidence too.
    assert np.isfinite(ShrunkArms(grid_of([3.0, 3.4, 3.5, 4.8], kept=[0, 3])).log_evidence)
