"""Counting intervals against published tables and independent implementations."""

import math

import pytest
from scipy.stats import binomtest
from scipy.stats.contingency import odds_ratio

from builder.fit.counts.counting import Segment, ambient_drift, ambient_enough, counted_fit_factor
from builder.fit.counts.poisson import log_sd, zero_count_limit


@pytest.mark.parametrize(
    ("ambient", "mask", "fit_factor", "low", "high"),
    [
        (Segment(1000, 10), Segment(10, 30), 300, 162.4, 627.5),
        (Segment(500, 5), Segment(3, 30), 1000, 340.2, 4865.5),
        (Segment(20000, 20), Segment(100, 30), 300, 246.5, 368.9),
        (Segment(100, 10), Segment(1, 30), 300, 52.6, 11966.4),
    ],
)
def test_ratio_of_two_rates(ambient: Segment, mask: Segment, fit_factor: float, low: float, high: float) -> None:
    """Przyborowski & Wilenski, Biometrika 1940 (computed): condition on the sum of the counts."""
    result = counted_fit_factor(mask, ambient)
    assert (result.fit_factor, result.low95, result.high95) == pytest.approx((fit_factor, low, high), rel=5e-4)
    total = int(ambient.particles + mask.particles)
    share = binomtest(int(ambient.particles), total).proportion_ci(0.95, "exact")
    scale = mask.seconds / ambient.seconds
    assert result.low95 == pytest.approx(share.low / (1 - share.low) * scale, rel=1e-8)
    assert result.high95 == pytest.approx(share.high / (1 - share.high) * scale, rel=1e-8)


def test_no_count_in_the_mask_is_at_least() -> None:
    """Two-sided limit at no count, 1000 in 10 s against 0 in 30 s (computed): 811.8 at 97.5 % one-sided."""
    assert zero_count_limit(3000, 1000, alpha=0.025) == pytest.approx(811.8, rel=5e-4)
    result = counted_fit_factor(Segment(0, 30), Segment(1000, 10))
    assert result.at_least
    assert result.high95 == math.inf


@pytest.mark.parametrize(
    ("ambient", "mask", "fit_factor", "low", "high"),
    [
        (Segment(12000, 60), Segment(60, 60), 200, 155.264825, 262.252983),
        (Segment(12000, 60), Segment(3, 30), 2000, 684.198876, 9699.556672),
    ],
)
def test_clopper_pearson(ambient: Segment, mask: Segment, fit_factor: float, low: float, high: float) -> None:
    """Clopper & Pearson, Biometrika 1934;26:404; computed, as by `scipy.stats.binomtest`."""
    result = counted_fit_factor(mask, ambient)
    assert (result.fit_factor, result.low95, result.high95) == pytest.approx((fit_factor, low, high), rel=1e-6)


@pytest.mark.parametrize(
    ("ambient", "mask_seconds", "limit", "median_bound"),
    [
        (Segment(12000, 60), 30, 2002.599215, 8655.920248),
        (Segment(50, 20), 20, 16.195403, 71.635907),
        (Segment(12600, 60), 60, 4205.483349, 18177.457519),
    ],
)
def test_zero_count_limits(ambient: Segment, mask_seconds: float, limit: float, median_bound: float) -> None:
    """Exact binomial limit alpha^(1/N) (computed); the rule of three would promise 16.69 in the second case."""
    result = counted_fit_factor(Segment(0, mask_seconds), ambient)
    assert result.fit_factor == result.low95 == pytest.approx(limit, rel=1e-6)
    unmasked = ambient.rate * mask_seconds
    assert zero_count_limit(unmasked, ambient.particles, alpha=0.5) == pytest.approx(median_bound, rel=1e-6)


def test_ambient_drift() -> None:
    """Ratio of two Poisson rates with its exact interval and binomial p (computed)."""
    drift = ambient_drift(Segment(6000, 30), Segment(6600, 30))
    assert (drift.ratio, drift.low95, drift.high95) == pytest.approx((1.1, 1.062046, 1.139327), rel=1e-6)
    assert drift.p_value == pytest.approx(9.434782e-08, rel=1e-6)
    assert not drift.warn
    assert not drift.refuse


@pytest.mark.parametrize(
    ("particles", "decades"), [(1, 0.557), (2, 0.349), (3, 0.273), (5, 0.204), (10, 0.141), (20, 0.098), (50, 0.062)]
)
def test_spread_of_the_logarithm(particles: int, decades: float) -> None:
    """√ψ′(n), the standard deviation of the logarithm of a gamma variate (computed), here in decades."""
    assert log_sd(particles) / math.log(10) == pytest.approx(decades, abs=6e-4)


def test_least_ambient_level() -> None:
    """Rule of three: to show a fit factor of 100 without a particle takes about 300 ambient particles' time."""
    assert not ambient_enough(30, Segment(2970, 300))
    assert ambient_enough(30, Segment(3020, 300))


def test_odds_ratio_interval_is_as_wide() -> None:
    """Fisher's conditional interval of an odds ratio tends to that of the rate ratio for rare events (SciPy)."""
    exposure = 10**7
    table = [[1000, exposure - 1000], [10, exposure - 10]]
    limits = odds_ratio(table, kind="conditional").confidence_interval(0.95)
    result = counted_fit_factor(Segment(10, 1), Segment(1000, 1))
    assert (result.low95, result.high95) == pytest.approx((limits.low, limits.high), rel=1e-3)
