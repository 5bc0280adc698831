"""Factorials against the 2³ pilot plant of Box, Hunter & Hunter, Statistics for Experimenters, section 5.2."""

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from scipy.stats import t

from builder.fit.compare.arms import arms_with_slots
from builder.fit.compare.factorial import INTERACTION_SD, Effect, Factorial, all_factorials, fit_main_effects
from builder.fit.compare.grid import Grid
from builder.fit.compare.scatter import arm_variances
from tests.fit.tables import SLOTS, scatter_of_all, tidy

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
    (found,) = all_factorials(plant, SCATTER, SLOTS)
    return found


def log_and_error(effect: Effect | None, df: float) -> tuple[float, float]:
    """An effect in the unit of the yields, with its standard error."""
    assert effect is not None
    half_width = np.log(effect.high95 / effect.low95) / 2
    return float(np.log(effect.ratio)), float(half_width / t.ppf(0.975, df))


def test_scatter(plant: pd.DataFrame) -> None:
    """Published: pooled variance 8 with 8 degrees of freedom."""
    repeats = arm_variances(plant)
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


def test_interactions(told: Factorial) -> None:
    """Published: TC 1.5, TK 10, CK 0, each with standard error 1.41: half of ours, which is a difference of effects."""
    temperature, concentration, catalyst = PARTS
    published = {(temperature, concentration): 1.5, (temperature, catalyst): 10, (concentration, catalyst): 0}
    found = {(both.part, both.other): log_and_error(both.effect, told.df) for both in told.interactions}
    assert {pair: effect / 2 for pair, (effect, _) in found.items()} == pytest.approx(published, abs=1e-9)
    assert [error / 2 for _, error in found.values()] == pytest.approx([2**0.5] * 3, abs=1e-9)


def test_clear_interaction(told: Factorial) -> None:
    """Published: temperature acts by 13 with one catalyst and 33 with the other."""
    temperature, _, catalyst = PARTS
    (found,) = (one for one in told.conditional if (one.part, one.other) == (temperature, catalyst))
    apart, together = log_and_error(found.apart, told.df), log_and_error(found.together, told.df)
    assert (apart[0], together[0]) == pytest.approx((13, 33), abs=1e-9)


def test_complete_grid_is_ordinary_least_squares(plant: pd.DataFrame) -> None:
    """statsmodels' ordinary least squares; published: mean 64.25."""
    grid = Grid.of(arms_with_slots(plant, SCATTER, SLOTS), SLOTS)
    assert float(grid.y.mean()) == pytest.approx(64.25, abs=1e-9)
    reference = sm.OLS(grid.y, grid.design).fit()
    assert fit_main_effects(grid, 8.0).coefficients.tolist() == pytest.approx(reference.params.tolist())


def test_incomplete_grid_is_generalised_least_squares(plant: pd.DataFrame) -> None:
    """statsmodels' GLS with the arms' own variance and the random deviation on the diagonal."""
    arms = arms_with_slots(plant, SCATTER, SLOTS).iloc[[0, 1, 2, 4, 7]]
    incomplete = Grid.of(arms, SLOTS)
    assert not incomplete.complete
    fit = fit_main_effects(incomplete, 0.1)
    sigma = 0.1 / incomplete.n + INTERACTION_SD**2
    reference = sm.GLS(incomplete.y, incomplete.design, sigma=sigma).fit(cov_type="fixed scale")
    assert fit.coefficients.tolist() == pytest.approx(reference.params.tolist())
    assert np.diag(fit.covariance).tolist() == pytest.approx(np.diag(reference.cov_params()).tolist())
