"""Factorials against the 2³ pilot plant of Box, Hunter & Hunter, Statistics for Experimenters, section 5.2."""

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm

from builder.fit.arms import SLOTS, arm_statistics
from builder.fit.factorial import fit_interaction, fit_main_effects
from builder.fit.grid import Grid
from builder.fit.scatter import Scatter, cell_variances
from tests.fit.tables import tidy

# Temperature, concentration, catalyst; temperature changes fastest.
PARTS = ("straps-t", "nose_wire-c", "nose_foam-k")
REPLICATES = ((59, 61), (74, 70), (50, 58), (69, 67), (50, 54), (81, 85), (46, 44), (79, 81))


@pytest.fixture(scope="module")
def plant() -> pd.DataFrame:
    """Yields in place of ln FF."""
    return tidy(
        ("+".join(["m", *(part for bit, part in enumerate(PARTS) if run >> bit & 1)]), "ann", float(np.exp(reading)))
        for run, readings in enumerate(REPLICATES)
        for reading in readings
    )


@pytest.fixture(scope="module")
def grid(plant: pd.DataFrame) -> Grid:
    return Grid.of(arm_statistics(plant, Scatter(8.0, 4.0, 8, 8, planned=False), SLOTS))


def test_scatter(plant: pd.DataFrame) -> None:
    """Published: pooled variance 8 with 8 degrees of freedom."""
    repeats = cell_variances(plant)
    assert int(repeats["df"].sum()) == 8
    assert (repeats["df"] * repeats["variance"]).sum() / 8 == pytest.approx(8, abs=1e-9)


@pytest.mark.parametrize(("first", "second", "published"), [(0, 1, 1.5), (0, 2, 10), (1, 2, 0)])
def test_interactions(grid: Grid, first: int, second: int, published: float) -> None:
    """Published: TC 1.5, TK 10, CK 0, each with standard error 1.41: half of ours, which is a difference of effects."""
    fit = fit_interaction(grid, first, second, 8.0)
    assert fit.coefficients[-1] / 2 == pytest.approx(published, abs=1e-9)
    assert np.sqrt(fit.covariance[-1, -1]) / 2 == pytest.approx(2**0.5, abs=1e-9)


def test_main_effects(grid: Grid) -> None:
    """Published: T 23, C −5, K 1.5, mean 64.25; the same by statsmodels' ordinary least squares."""
    fit = fit_main_effects(grid, 8.0)
    assert fit.coefficients[1:].tolist() == pytest.approx([23, -5, 1.5], abs=1e-9)
    assert float(grid.y.mean()) == pytest.approx(64.25, abs=1e-9)
    assert np.sqrt(np.diag(fit.covariance)[1:]).tolist() == pytest.approx([2**0.5] * 3, abs=1e-9)
    assert fit.coefficients.tolist() == pytest.approx(sm.OLS(grid.y, grid.design).fit().params.tolist())


def test_interaction_coded_against_the_reference(grid: Grid) -> None:
    """Temperature acts by 13 without and 33 with the other catalyst: 20, twice the published interaction of 10."""
    fit = fit_interaction(grid, 0, 2, 8.0)
    assert fit.coefficients[-1] == pytest.approx(20, abs=1e-9)
    assert np.sqrt(fit.covariance[-1, -1]) == pytest.approx(8**0.5, abs=1e-9)
    assert fit.coefficients[1] == pytest.approx(13, abs=1e-9)


def test_incomplete_grid_is_generalised_least_squares(plant: pd.DataFrame) -> None:
    """statsmodels' GLS with the cells' own variance and the random deviation on the diagonal."""
    arms = arm_statistics(plant, Scatter(8.0, 4.0, 8, 8, planned=False), SLOTS).iloc[[0, 1, 2, 4, 7]]
    incomplete = Grid.of(arms)
    assert not incomplete.complete
    fit = fit_main_effects(incomplete, 8.0, interaction_sd=3.0)
    reference = sm.GLS(incomplete.y, incomplete.design, sigma=8 / incomplete.n + 9).fit(cov_type="fixed scale")
    assert fit.coefficients.tolist() == pytest.approx(reference.params.tolist())
    assert np.diag(fit.covariance).tolist() == pytest.approx(np.diag(reference.cov_params()).tolist())
