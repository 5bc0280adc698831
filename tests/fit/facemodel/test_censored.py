from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr
from scipy.stats import multivariate_normal

from builder.fit.facemodel.censored import propagate, tilted
from builder.fit.facemodel.design import build_catalogue, build_design
from builder.fit.facemodel.engine import Readings, exact_readings
from builder.fit.facemodel.scales import Scales
from tests.fit.facemodel import dense
from tests.fit.facemodel.simulation import World, simulate

SCALES = Scales()
WORLD = World(wearers=5, masks=3, configurations=6, tests=24)


def test_moments_of_a_normal_cut_off_at_a_limit() -> None:
    # By quadrature, in log10 units; the formula has no unit.
    one = np.ones(1)
    found = tilted(1.9 * one, 0.09 * one, np.log10(200) * one, 0.2**2 * one)
    assert found.mean[0] == pytest.approx(2.303318239, abs=1e-8)
    assert found.variance[0] == pytest.approx(0.039310122, abs=1e-8)
    assert found.log_mass[0] == pytest.approx(-2.017302287, abs=1e-8)


def test_moments_far_below_and_far_above_the_limit() -> None:
    found = tilted(np.array([-30.0, 30.0]), np.ones(2), np.zeros(2), np.ones(2) * 0.2)
    assert found.mean[0] > -6
    assert np.isfinite(found.log_mass).all()
    assert found.mean[1] == pytest.approx(30)
    assert found.variance[1] == pytest.approx(1)


def test_two_censored_readings_against_quadrature() -> None:
    table = simulate(WORLD, 3)
    limit = np.log(300.0)
    chosen = [2, 17]
    table.loc[chosen, "fit_factor"] = 300.0
    table.loc[chosen, "at_least"] = True
    design = build_design(table, build_catalogue(table))
    fit = propagate(design, SCALES)
    which = np.flatnonzero(design.at_least)

    # Take the two out by an all but flat reading, then put the exact likelihood on a fine grid.
    readings = exact_readings(design, SCALES)
    precision = readings.precision.copy()
    precision[which] = 1e-9
    targets = dense.points(design, design.arm_wearer[design.arm[which]], design.arm_configuration[design.arm[which]])
    mean, covariance = dense.posterior(design, SCALES, Readings(readings.location, precision), targets)
    axes = [m + np.linspace(-8, 8, 400) * np.sqrt(v) for m, v in zip(mean, np.diagonal(covariance), strict=True)]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)
    mass = multivariate_normal(mean, covariance).pdf(grid) * ndtr((grid - limit) / SCALES.redonning).prod(axis=-1)
    mass /= mass.sum()
    exact_mean = np.einsum("ij,ijk->k", mass, grid)
    exact_sd = np.sqrt(np.einsum("ij,ijk->k", mass, (grid - exact_mean) ** 2))

    posterior = fit.posterior
    found_mean, found_covariance = dense.posterior(design, SCALES, posterior.readings, targets)
    assert posterior.arm_mean[design.arm[which]] + design.centre == pytest.approx(found_mean, abs=1e-8)
    assert found_mean == pytest.approx(exact_mean, abs=0.005)
    assert np.sqrt(np.diagonal(found_covariance)) == pytest.approx(exact_sd, abs=0.005)


def test_without_at_least_readings_nothing_is_propagated() -> None:
    table = simulate(WORLD, 3)
    design = build_design(table, build_catalogue(table))
    fit = propagate(design, SCALES)
    assert fit.cavity.mean.size == 0
    assert fit.posterior.readings.location == pytest.approx(design.reading)


def test_a_nearby_start_settles_at_the_same_place() -> None:
    table = simulate(replace(WORLD, ceiling=80.0), 5)
    design = build_design(table, build_catalogue(table))
    fit = propagate(design, SCALES)
    nearby = propagate(design, replace(SCALES, mask=0.4)).posterior.readings
    again = propagate(design, SCALES, nearby)
    assert again.posterior.arm_mean == pytest.approx(fit.posterior.arm_mean, abs=0.01)
