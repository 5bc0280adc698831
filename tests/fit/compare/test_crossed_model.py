"""The crossed model at given standard deviations, against the same model written as one covariance."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from builder.fit.arrays import FloatArray
from builder.fit.compare.crossed_model import Layout, Spreads, solve
from builder.fit.compare.pooling import MEAN_SD

RNG = np.random.default_rng(3)
MASK, WEARER = np.array([0, 0, 1, 2, 2, 1, 0]), np.array([0, 1, 1, 0, 2, 0, 1])
SHARED = RNG.normal(size=(7, 2)) * 0.3
Y, V = RNG.normal(0.7, 0.5, 7), RNG.uniform(0.05, 0.4, 7)
SPREADS = Spreads(np.array([0.3, 0.3, 0.8, 0.05]), np.array([0.4, 0.7, 0.4, 0.01]), np.array([0.2, 0.2, 0.1, 0.02]))


def dense(point: int, variance: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Covariance of contrasts, of (μ, masks, shared) with them, and of these by themselves."""
    a, b, c = SPREADS.mask[point], SPREADS.wearer[point], SPREADS.rest[point]
    design = np.column_stack([np.ones(7), np.eye(3)[MASK], SHARED])
    prior = np.diag([MEAN_SD**2, *[a**2] * 3, 1, 1])
    people = np.eye(3)[WEARER]
    total = design @ prior @ design.T + b**2 * people @ people.T + np.diag(variance + c**2)
    return total, prior @ design.T, prior


@pytest.mark.parametrize("shared", [True, False])
@pytest.mark.parametrize("each", [True, False])
def test_against_one_covariance(*, shared: bool, each: bool) -> None:
    layout = Layout(MASK, WEARER, 3, 3, SHARED if shared else SHARED * 0)
    shape = (4, 7) if each else (7,)
    solved = solve(layout, SPREADS, np.broadcast_to(Y, shape), np.broadcast_to(1 / V, shape))
    covariance = solved.covariance(np.arange(4))
    for point in range(4):
        total, cross, prior = dense(point, V)
        if not shared:
            total, cross = total - SHARED @ SHARED.T, cross * np.array([1, 1, 1, 1, 0, 0])[:, None]
        expected = cross @ np.linalg.solve(total, Y)
        assert solved.beta[point] == pytest.approx(expected, abs=1e-9)
        np.testing.assert_allclose(covariance[point], prior - cross @ np.linalg.solve(total, cross.T), atol=1e-9)
        evidence = multivariate_normal(np.zeros(7), total).logpdf(Y) + 3.5 * np.log(2 * np.pi)
        assert solved.log_evidence[point] == pytest.approx(evidence, abs=1e-8)


def test_effects_of_contrasts() -> None:
    solved = solve(Layout(MASK, WEARER, 3, 3, SHARED), SPREADS, Y, 1 / V)
    which = np.array([1, 4, 5])
    mean, variance = solved.effects(which)
    for point in range(4):
        total, _, _ = dense(point, V)
        of_effects = total - np.diag(V + SPREADS.rest[point] ** 2)
        gain = np.linalg.solve(total, of_effects)
        assert mean[point] == pytest.approx((gain.T @ Y)[which], abs=1e-9)
        left = of_effects - of_effects @ gain
        assert variance[point] == pytest.approx(np.diag(left)[which], abs=1e-9)
