"""Factorials against the 2³ pilot plant of Box, Hunter & Hunter, Statistics for Experimenters, section 5.2."""

from itertools import combinations

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from scipy.stats import t

from builder.fit.compare.aligned_arms import AlignedArms
from builder.fit.compare.factorial import Effect, Factorial, all_factorials, fit_interaction, fit_main_effects
from builder.fit.compare.grid import Grid
from builder.fit.compare.interactions import INTERACTION_SD, ShrunkArms, pair_weights
from builder.fit.compare.measured_arms import arm_parts
from builder.fit.compare.nested_scatter import repeat_arms
from tests.fit.tables import SLOTS, measured, scatter_of_all, tidy

# Temperature, concentration, catalyst; temperature changes fastest.
PARTS = ("straps-t", "nose_wire-c", "nose_foam-k")
REPLICATES = ((59, 61), (74, 70), (50, 58), (69, 67), (50, 54), (81, 85), (46, 44), (79, 81))

SCATTER = scatter_of_all(8.0, 4.0)


@pytest.fixture(scope="module")
def plant() -> pd.DataFrame:
    """Yields in place of ln FF."""
    return tidy(
        ("+".join(["m", *(part for bit, part in enumerate(PARTS) if run >> bit & 1)]), "ann", float(np.exp(reading)))
        for run, readings in enumerate(REPLICATES)
        for reading in readings
    )


@pytest.fixture(scope="module")
def told(plant: pd.DataFrame) -> Factorial:
    """What Sealbook makes of it; the scatter of the database is that of the plant."""
    (found,) = all_factorials(plant, measured(plant, SCATTER), SLOTS)
    return found


def grid_of(plant: pd.DataFrame) -> Grid:
    aligned = AlignedArms.of(arm_parts(plant, SLOTS), measured(plant, SCATTER))
    return Grid.of(aligned.rows, SLOTS, aligned.error)


def log_and_error(effect: Effect | None, df: float) -> tuple[float, float]:
    """An effect in the unit of the yields, with its standard error."""
    assert effect is not None
    half_width = np.log(effect.high95 / effect.low95) / 2
    return float(np.log(effect.ratio)), float(half_width / t.ppf(0.975, df))


def test_scatter(plant: pd.DataFrame) -> None:
    """Published: pooled variance 8 with 8 degrees of freedom."""
    repeats = repeat_arms(plant)
    assert int(repeats["df"].sum()) == 8
    assert (repeats["df"] * repeats["variance"]).sum() / 8 == pytest.approx(8, abs=1e-9)


def test_main_effects(told: Factorial) -> None:
    """Published: T 23, C −5, K 1.5, each with standard error 1.41."""
    found = {main.part: log_and_error(main.effect, told.df) for main in told.effects}
    assert told.complete
    assert {part: effect for part, (effect, _) in found.items()} == pytest.approx(
        dict(zip(PARTS, (23, -5, 1.5), strict=True)), abs=1e-9
    )
    assert [error for _, error in found.values()] == pytest.approx([2**0.5] * 3, abs=1e-9)


def test_interactions(plant: pd.DataFrame) -> None:
    """Published: TC 1.5, TK 10, CK 0, each with standard error 1.41: half of ours, which is a difference of effects."""
    grid = grid_of(plant)
    number = {part: i for i, (_, part) in enumerate(grid.columns)}
    for pair, published in zip(combinations(PARTS, 2), (1.5, 10, 0), strict=True):
        fit = fit_interaction(grid, number[pair[0]], number[pair[1]])
        effect, error = fit.estimate(np.eye(5)[-1])
        # An arm is not quite as sure as the wearer.
        assert (effect / 2, error / 2) == pytest.approx((published, 2**0.5), abs=1e-7)
        # What is shown is the same but for shrinking.
        weights = pair_weights(grid, number[pair[0]], number[pair[1]])
        assert weights is not None
        assert ShrunkArms(grid, sd=1e4).estimate(weights.beyond) == pytest.approx((effect, error), abs=1e-4)


def test_conditional_effects(plant: pd.DataFrame, told: Factorial) -> None:
    """Published: temperature acts by 13 with one catalyst and 33 with the other."""
    temperature, _, catalyst = PARTS
    grid = grid_of(plant)
    number = {part: i for i, (_, part) in enumerate(grid.columns)}
    weights = pair_weights(grid, number[temperature], number[catalyst])
    assert weights is not None
    free = ShrunkArms(grid, sd=1e4)
    assert [free.estimate(one)[0] for one in (weights.apart, weights.together)] == pytest.approx([13, 33], abs=1e-4)
    assert (temperature, catalyst) in {(one.part, one.other) for one in told.conditional}


def test_shrunk_arms_are_best_linear_predictions(plant: pd.DataFrame) -> None:
    """statsmodels' mixed model on single readings, the arms' variance component fixed at ours: its predicted arms."""
    grid = grid_of(plant)
    arm = np.repeat(np.arange(8), 2)
    readings = np.array([reading for pair in REPLICATES for reading in pair], dtype=float)
    order = np.argsort([int(sum(1 << PARTS.index(p) for p in c.split("+")[1:])) for c in grid.configuration])
    design = grid.design[order][arm]
    sd = 3.0
    covariance = sd**2 * (arm[:, None] == arm) + 8.0 * np.eye(16)
    reference = sm.GLS(readings, design, sigma=covariance).fit()
    fitted = grid.design[order] @ reference.params
    residual = np.linalg.solve(covariance, readings - design @ reference.params)
    predicted = fitted + sd**2 * np.array([residual[arm == i].sum() for i in range(8)])
    shrunk = ShrunkArms(grid, sd=sd)
    ours = np.array([shrunk.estimate(unit)[0] for unit in np.eye(8)])[order]
    assert ours.tolist() == pytest.approx(predicted.tolist())


def test_complete_grid_is_ordinary_least_squares(plant: pd.DataFrame) -> None:
    """statsmodels' ordinary least squares; published: mean 64.25."""
    grid = grid_of(plant)
    assert float(grid.y.mean()) == pytest.approx(64.25, abs=1e-9)
    reference = sm.OLS(grid.y, grid.design).fit()
    assert fit_main_effects(grid).coefficients.tolist() == pytest.approx(reference.params.tolist())


def test_incomplete_grid_is_generalised_least_squares(plant: pd.DataFrame) -> None:
    """statsmodels' GLS with the covariance of the arms and the random deviation on the diagonal."""
    whole = AlignedArms.of(arm_parts(plant, SLOTS), measured(plant, scatter_of_all(0.1)))
    some = [0, 1, 2, 4, 7]
    # Two arms by another method than the rest share an error.
    error = np.diag([0.05, 0.1, 0.05, 0.3, 0.2]) + 0.2 * np.outer([0, 0, 0, 1, 1], [0, 0, 0, 1, 1])
    incomplete = Grid.of(whole.rows.iloc[some], SLOTS, error)
    assert not incomplete.complete
    fit = fit_main_effects(incomplete)
    sigma = error + INTERACTION_SD**2 * np.eye(5)
    reference = sm.GLS(incomplete.y, incomplete.design, sigma=sigma).fit(cov_type="fixed scale")
    assert fit.coefficients.tolist() == pytest.approx(reference.params.tolist())
    assert np.diag(fit.covariance).tolist() == pytest.approx(np.diag(reference.cov_params()).tolist())
