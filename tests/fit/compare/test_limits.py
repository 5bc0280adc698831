"""What "at least" readings tell of one wearer's difference."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import log_ndtr
from scipy.stats import norm

from builder.fit.compare.limits import LimitedArm, LimitedDifference

CEILING = math.log(200)


def arm(*values: float, limits: int = 0, variance: float = 0.2) -> LimitedArm:
    """Readings of ln FF and so many at the ceiling."""
    flags = [False] * len(values) + [True] * limits
    return LimitedArm.of([*values, *[CEILING] * limits], flags, variance)


def test_arm_of_readings() -> None:
    found = LimitedArm.of([4.0, 5.3, 4.4], [False, True, False], 0.2)
    assert found == LimitedArm(2, 4.2, (5.3,), 0.2)
    assert found.middle == pytest.approx((4.0 + 5.3 + 4.4) / 3)
    assert LimitedArm.of([5.3], [True], 0.2) == LimitedArm(0, 0.0, (5.3,), 0.2)


def test_exact_readings_give_the_normal_of_the_contrast() -> None:
    found = LimitedDifference(arm(4.0, 4.2), arm(5.0, 5.2, 5.7))
    d = np.linspace(0, 3, 7)
    expected = norm.logpdf(d, 5.3 - 4.1, math.sqrt(0.2 / 2 + 0.2 / 3))
    log = found.log_likelihood(d)
    np.testing.assert_allclose(log - log[0], expected - expected[0], atol=1e-9)


def test_one_limit_against_exact_readings_is_a_normal_integral() -> None:
    """∫ φ(θ; ȳ, v/n) Φ((θ + d − c)/√v) dθ = Φ((ȳ + d − c)/√(v + v/n))."""
    found = LimitedDifference(arm(4.0, 4.4), arm(limits=1))
    d = np.linspace(-2, 4, 9)
    expected = log_ndtr((4.2 + d - CEILING) / math.sqrt(0.2 + 0.1))
    log = found.log_likelihood(d)
    np.testing.assert_allclose(log - log[-1], expected - expected[-1], atol=1e-8)
    mirror = LimitedDifference(arm(limits=1), arm(4.0, 4.4)).log_likelihood(-d)
    np.testing.assert_allclose(mirror, log, atol=1e-12)


def test_against_integration_with_limits_on_both_sides() -> None:
    a, b = arm(4.9, limits=2), LimitedArm.of([5.0, 4.6, CEILING], [False, False, True], 0.3)
    found = LimitedDifference(a, b)

    def likelihood(d: float) -> float:
        def at(level: float) -> float:
            of_a = norm.pdf(4.9, level, 0.2**0.5) * norm.cdf((level - CEILING) / 0.2**0.5) ** 2
            other = level + d
            of_b = norm.pdf(5.0, other, 0.3**0.5) * norm.pdf(4.6, other, 0.3**0.5)
            return float(of_a * of_b * norm.cdf((other - CEILING) / 0.3**0.5))

        return float(quad(at, 0, 12, points=[4.5, 5, 5.5])[0])

    ours = found.log_likelihood([-1.0, 0.0, 0.5]) - found.log_likelihood([-0.3])
    expected = [math.log(likelihood(d) / likelihood(-0.3)) for d in (-1.0, 0.0, 0.5)]
    assert ours.tolist() == pytest.approx(expected, abs=1e-6)


def test_which_way_it_bounds() -> None:
    exact, limited, mixed = arm(4.0), arm(limits=1), arm(4.0, limits=1)
    assert LimitedDifference(exact, limited).bound == "at_least"
    assert LimitedDifference(limited, exact).bound == "at_most"
    assert LimitedDifference(mixed, limited).bound == "at_least"
    assert LimitedDifference(mixed, mixed).bound == "none"
    assert LimitedDifference(limited, limited).bound == "both"
    with pytest.raises(ValueError, match="neither arm has an exact reading"):
        LimitedDifference(limited, limited).log_likelihood([0.0])


def test_shift_and_extra_variance() -> None:
    plain = LimitedDifference(arm(4.0), arm(limits=1))
    moved = LimitedDifference(arm(4.0), arm(limits=1), shift=0.7)
    np.testing.assert_allclose(moved.log_likelihood([1.7]), plain.log_likelihood([1.0]))
    assert moved.middle == pytest.approx(CEILING - 4.0 + 0.7)
    wider = LimitedDifference(arm(4.0), arm(limits=1), extra=0.5)
    d = np.linspace(-1, 3, 5)
    expected = log_ndtr((4.0 + d - CEILING) / math.sqrt(0.4 + 0.5))
    log = wider.log_likelihood(d)
    np.testing.assert_allclose(log - log[-1], expected - expected[-1], atol=1e-4)
    assert wider.reach > plain.reach
    assert wider.narrowest > plain.narrowest


LOGS = st.lists(st.floats(0.0, 7.0), min_size=0, max_size=4)


@settings(deadline=None)
@given(LOGS, LOGS, st.integers(0, 3), st.integers(0, 3))
def test_likelihood_is_log_concave_and_mirrors(a: list[float], b: list[float], more_a: int, more_b: int) -> None:
    if not (a or b) or not (a or more_a) or not (b or more_b):
        return
    found = LimitedDifference(arm(*a, limits=more_a), arm(*b, limits=more_b))
    d = found.middle + np.linspace(-2, 2, 41)
    log = found.log_likelihood(d)
    assert np.isfinite(log).all()
    assert (np.diff(log, 2) <= 1e-5).all()
    back = LimitedDifference(found.b, found.a).log_likelihood(-d)
    np.testing.assert_allclose(back - back[20], log - log[20], atol=1e-5)
