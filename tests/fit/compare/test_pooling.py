"""Pooling: the grid against integration, mixtures, words."""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from builder.fit.compare import pooling
from builder.fit.compare.pooling import Mixture, bayes_pool, heterogeneity
from builder.fit.intervals import Interval


def test_grid_agrees_with_integration() -> None:
    """The joint posterior of mean and spread, summed up on a fine grid of both."""
    y, v = np.array([0.3, 1.1, 0.6]), np.array([0.05, 0.08, 0.2])
    mu, tau = np.linspace(-6, 6, 1201)[:, None], np.linspace(0.001, 4.999, 2500)
    joint = norm.pdf(mu, 0, pooling.MEAN_SD) * np.exp(-0.5 * (tau / pooling.TAU_SCALE) ** 2)
    for effect, variance in zip(y, v, strict=True):
        joint = joint * norm.pdf(effect, mu, np.sqrt(variance + tau**2))
    joint /= joint.sum()
    pooled = bayes_pool(y, v)
    assert pooled.mean.mean == pytest.approx(float((mu * joint).sum()), abs=1e-4)
    assert pooled.tau == pytest.approx(float((tau * joint).sum()), abs=1e-3)
    assert pooled.mean.above(0.505) == pytest.approx(float(joint[mu[:, 0] > 0.505].sum()), abs=1e-4)


def test_mixture_quantiles() -> None:
    mixture = Mixture(np.array([0.25, 0.75]), np.array([-1.0, 2.0]), np.array([0.5, 1.5]))
    for probability in (0.005, 0.3, 0.5, 0.995):
        assert 1 - mixture.above(mixture.quantiles([probability])[0]) == pytest.approx(probability, abs=1e-12)
    density = quad(lambda x: x * (0.25 * norm.pdf(x, -1, 0.5) + 0.75 * norm.pdf(x, 2, 1.5)), -20, 20)
    assert mixture.mean == pytest.approx(density[0])


def test_mirror_image() -> None:
    there, back = bayes_pool([0.5, 1.5], [0.1, 0.2]), bayes_pool([-0.5, -1.5], [0.1, 0.2])
    assert there.mean.mean == pytest.approx(-back.mean.mean)
    assert there.new.interval(0.9).low == pytest.approx(-back.new.interval(0.9).high)
    assert there.chance_helps == pytest.approx(1 - back.chance_helps)


def test_prediction_is_wider_than_the_mean() -> None:
    pooled = bayes_pool([0.5, 1.5, 1.0], [0.1, 0.2, 0.1])
    mean, new = pooled.mean.interval(0.95), pooled.new.interval(0.95)
    assert new.low < mean.low < mean.high < new.high


@pytest.mark.parametrize("estimate", [pooling.dersimonian_laird, pooling.reml])
def test_no_spread_beyond_chance_is_none(estimate: object) -> None:
    assert callable(estimate)
    assert estimate([0.5, 0.52, 0.49], [0.1, 0.1, 0.1]) == 0


def test_hartung_knapp_is_narrower_where_effects_agree_beyond_chance() -> None:
    effects, variances = [0.5, 0.52, 0.49], [0.1, 0.1, 0.1]
    plain = pooling.random_effects(effects, variances, 0.0)
    assert pooling.random_effects(effects, variances, 0.0, hartung_knapp=True).se < plain.se


def test_heterogeneity_goes_by_the_interval_of_the_spread() -> None:
    """95 % of faces lie within ×÷1.6 and ×÷2.7 of the mean where the judgement changes."""
    assert [round(math.exp(1.96 * spread), 1) for spread in (0.25, 0.5)] == [1.6, 2.7]
    said = [
        heterogeneity(Interval(low, high))
        for low, high in ((0.0, 0.249), (0.0, 0.25), (0.249, 2.0), (0.25, 0.3), (0.499, 2.0), (0.5, 2.0))
    ]
    assert said == ["alike", "open", "open", "differs", "differs", "widely"]
