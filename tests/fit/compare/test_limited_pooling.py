"""Pooling wearers with limits: the closed form where there are none, integration where there are."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import log_ndtr
from scipy.stats import multivariate_normal

from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.limited_pooling import pool_with_limits
from builder.fit.compare.limits import LimitedArm, LimitedDifference
from builder.fit.compare.pooling import MEAN_SD, TAU_SCALE, Pooled, bayes_pool

CEILING = math.log(200)
LEVELS = (0.005, 0.05, 0.5, 0.95, 0.995)


def above(fit_factor: float, donnings: int = 1, limits: int = 1) -> JointDifference:
    """A wearer with exact readings of A and nothing but ceilings of B."""
    known, limited = LimitedArm(donnings, math.log(fit_factor), (), 0.2), LimitedArm(0, 0.0, (CEILING,) * limits, 0.2)
    return JointDifference(0.0, math.inf, (LimitedDifference(known, limited),))


def below(fit_factor: float) -> JointDifference:
    (one,) = above(fit_factor).limited
    return JointDifference(0.0, math.inf, (LimitedDifference(one.b, one.a),))


def integrated(effects: list[float], variances: list[float], limited: list[JointDifference]) -> list[float]:
    """Quantiles of the mean by a fine grid of μ and the same grid of τ; each limit a normal integral."""
    mu = np.arange(-8, 10, 0.004)
    total = np.zeros_like(mu)
    found = []
    for tau in np.linspace(0, 4 * TAU_SCALE, 61):
        log = -0.5 * ((mu / MEAN_SD) ** 2 + (tau / TAU_SCALE) ** 2)
        for y, v in zip(effects, variances, strict=True):
            log -= 0.5 * ((y - mu) ** 2 / (v + tau**2) + math.log(v + tau**2))
        for one in (one for joint in limited for one in joint.limited):
            sign = 1 if one.a.n else -1
            known = one.a if one.a.n else one.b
            spread = math.sqrt(0.2 + 0.2 / known.n + tau**2)
            log += log_ndtr((known.mean + sign * mu - CEILING) / spread)
        found.append(log)
    weight = np.exp(np.array(found) - np.max(found))
    weight[[0, -1]] /= 2
    total = weight.sum(axis=0) / weight.sum()
    return [float(q) for q in np.interp(LEVELS, np.cumsum(total) - total / 2, mu)]


@pytest.mark.parametrize(
    ("effects", "variances"), [([0.3], [0.2]), ([0.5, 0.9, 1.5, 0.2], [0.2, 0.1, 0.3, 0.15]), ([1.2] * 30, [0.01] * 30)]
)
def test_without_limits_it_is_the_closed_form(effects: list[float], variances: list[float]) -> None:
    ours, closed = pool_with_limits(effects, variances, []), bayes_pool(effects, variances)
    assert ours.mean.quantiles(LEVELS) == pytest.approx(closed.mean.quantiles(LEVELS), abs=1e-6)
    assert ours.new.quantiles(LEVELS) == pytest.approx(closed.new.quantiles(LEVELS), abs=1e-6)
    assert ours.tau == pytest.approx(closed.tau, abs=1e-9)
    assert ours.k == closed.k


@pytest.mark.parametrize(
    ("effects", "limited", "tolerance"),
    [
        ([0.5, 0.9, 1.5, 0.2], [above(50), above(80), above(120)], 1e-3),
        ([0.5], [above(50), below(180), above(120, donnings=3)], 3e-3),
        ([], [above(50), below(180)], 3e-3),
        ([], [above(x) for x in (50, 80, 120, 30, 100)], 0.01),
        ([], [above(x) for x in (50, 80, 120, 30, 100)] * 3, 0.02),
    ],
)
def test_against_integration(effects: list[float], limited: list[JointDifference], tolerance: float) -> None:
    variances = [0.2] * len(effects)
    found = pool_with_limits(effects, variances, limited)
    assert found.mean.quantiles(LEVELS) == pytest.approx(integrated(effects, variances, limited), abs=tolerance)
    assert found.k == len(effects) + len(limited)


def test_limits_that_are_far_away_say_nothing() -> None:
    far = above(1e5)
    plain = bayes_pool([0.5, 0.9], [0.1, 0.2])
    assert pool_with_limits([0.5, 0.9], [0.1, 0.2], [far]).mean.mean == pytest.approx(plain.mean.mean, abs=2e-3)


def test_several_ceilings_tell_more_than_one() -> None:
    one = pool_with_limits([0.2, 0.4], [0.1, 0.1], [above(100)])
    three = pool_with_limits([0.2, 0.4], [0.1, 0.1], [above(100, limits=3)])
    assert bayes_pool([0.2, 0.4], [0.1, 0.1]).mean.mean < one.mean.mean < three.mean.mean


def test_errors_in_common_against_one_covariance() -> None:
    y, v, z = np.array([0.5, 0.9, 0.2]), np.array([0.1, 0.2, 0.05]), np.array([[0.4, 0.0], [0.4, 0.3], [0.0, -0.3]])
    found = pool_with_limits(y, v, [], z)
    mu = np.arange(-8, 8, 0.005)
    logs = []
    for tau in np.linspace(0, 4 * TAU_SCALE, 61):
        total = multivariate_normal(np.zeros(3), np.diag(v + tau**2) + z @ z.T)
        logs.append(total.logpdf(y - mu[:, None]) - 0.5 * ((mu / MEAN_SD) ** 2 + (tau / TAU_SCALE) ** 2))
    weight = np.exp(np.array(logs) - np.max(logs))
    weight[[0, -1]] /= 2
    density = weight.sum(axis=0) / weight.sum()
    assert found.mean.mean == pytest.approx(float(mu @ density), abs=1e-6)
    expected = np.interp(LEVELS, np.cumsum(density) - density / 2, mu).tolist()
    assert found.mean.quantiles(LEVELS) == pytest.approx(expected, abs=1e-3)


def test_an_exact_background_beside_a_limit() -> None:
    """One wearer whose normal lies on one side of the limit: the limit draws the mean up."""
    (one,) = above(50).limited
    plain, drawn = bayes_pool([0.6], [0.2]), pool_with_limits([], [], [JointDifference(0.6, 0.2, (one,))])
    assert drawn.k == 1
    assert drawn.mean.mean > plain.mean.mean
    far = LimitedDifference(LimitedArm(1, math.log(1e5), (), 0.2), one.b)
    unmoved = pool_with_limits([], [], [JointDifference(0.6, 0.2, (far,))])
    assert unmoved.mean.quantiles(LEVELS) == pytest.approx(plain.mean.quantiles(LEVELS), abs=5e-3)


def test_mirror_image() -> None:
    there = pool_with_limits([0.5], [0.2], [above(50), below(150)])
    back = pool_with_limits([-0.5], [0.2], [below(50), above(150)])
    assert there.mean.mean == pytest.approx(-back.mean.mean, abs=1e-6)
    assert there.new.interval(0.9).low == pytest.approx(-back.new.interval(0.9).high, abs=1e-6)


@settings(deadline=None, max_examples=30)
@given(
    st.lists(st.floats(-4, 4), max_size=4),
    st.lists(st.tuples(st.floats(1, 3000), st.booleans(), st.integers(1, 4)), min_size=1, max_size=6),
)
def test_any_readings_give_a_proper_posterior(effects: list[float], limits: list[tuple[float, bool, int]]) -> None:
    limited = [above(ff, limits=count) if up else below(ff) for ff, up, count in limits]
    found: Pooled = pool_with_limits(effects, [0.1] * len(effects), limited)
    assert found.mean.weights.sum() == pytest.approx(1)
    low, middle, high = found.mean.quantiles([0.05, 0.5, 0.95])
    assert -12 < low < middle < high < 12
    new = found.new.interval(0.9)
    assert new.low <= low + 0.05
    assert new.high >= high - 0.05
