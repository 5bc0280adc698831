import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from builder.fit.counts.poisson import equal_rates_p_value, log_sd, ratio_limits, zero_count_limit

counts = st.integers(1, 5000)


@given(counts, counts)
def test_the_p_value_agrees_with_the_interval(count: int, other: int) -> None:
    limits = ratio_limits(count, other, scale=1.0)
    left_out = not limits.low <= 1 <= limits.high
    p_value = equal_rates_p_value(count, other, share=0.5)
    assert (p_value < 0.05) == left_out or p_value == pytest.approx(0.05)


@given(st.integers(0, 300), st.integers(1, 300))
def test_the_p_value_at_equal_times_is_the_binomial_test(count: int, other: int) -> None:
    expected = binomtest(count, count + other, 0.5).pvalue
    assert equal_rates_p_value(count, other, share=0.5) == pytest.approx(expected, rel=1e-9)


@given(st.integers(0, 300), st.integers(0, 300), st.floats(0.05, 0.95))
def test_the_p_value_is_the_same_from_either_side(count: int, other: int, share: float) -> None:
    p_value = equal_rates_p_value(count, other, share)
    assert 0 <= p_value <= 1
    assert p_value == pytest.approx(equal_rates_p_value(other, count, 1 - share), rel=1e-9)


def test_a_ratio_to_nothing_has_no_upper_limit() -> None:
    assert ratio_limits(10, 0, 1.0).high == math.inf
    assert ratio_limits(0, 10, 1.0).low == 0


@given(st.floats(1, 1e7), st.floats(1, 1e7))
def test_the_zero_count_limit_stays_below_the_rule_of_three(unmasked: float, ambient: float) -> None:
    assert zero_count_limit(unmasked, ambient) < unmasked / -math.log(0.05)
    assert zero_count_limit(unmasked, ambient) < zero_count_limit(unmasked, ambient, alpha=0.5)


def test_more_particles_leave_less_uncertainty() -> None:
    deviations = [log_sd(particles) for particles in (1, 2, 3, 5, 10, 50, 1000)]
    assert deviations == sorted(deviations, reverse=True)
    assert log_sd(1e6) == pytest.approx(1e-3, rel=1e-5)


def test_far_less_than_a_particle_leaves_no_limit() -> None:
    assert zero_count_limit(0.5, 1e-3) == 0
