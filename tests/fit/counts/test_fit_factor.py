import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.counts.fit_factor import highest_fit_factor, overall_fit_factor, seal_leak

fit_factors = st.lists(st.floats(0.5, 1e5), min_size=1, max_size=20)


@pytest.mark.parametrize("values", [[], [100, 0], [100, -5], [100, math.nan], [100, math.inf]])
def test_overall_needs_positive_exercises(values: list[float]) -> None:
    with pytest.raises(ValueError, match="exercise"):
        overall_fit_factor(values)


@given(fit_factors)
def test_overall_lies_between_the_extremes_and_below_the_arithmetic_mean(values: list[float]) -> None:
    overall = overall_fit_factor(values)
    assert min(values) * (1 - 1e-12) <= overall <= max(values) * (1 + 1e-12)
    assert overall <= sum(values) / len(values) * (1 + 1e-12)


@given(fit_factors)
def test_leakages_average(values: list[float]) -> None:
    mean = sum(1 / value for value in values) / len(values)
    assert 1 / overall_fit_factor(values) == pytest.approx(mean, rel=1e-9)


@pytest.mark.parametrize("penetration", [0, -0.1, 1.01, math.nan])
def test_filter_penetration_is_a_fraction(penetration: float) -> None:
    with pytest.raises(ValueError, match="fraction"):
        highest_fit_factor(penetration)


@given(st.floats(1e-6, 0.9), st.floats(1e-5, 0.9))
def test_seal_and_filter_add_up(seal: float, penetration: float) -> None:
    fit_factor = 1 / (seal + penetration * (1 - seal))
    assert seal_leak(fit_factor, penetration) == pytest.approx(seal, rel=1e-6, abs=1e-12)


def test_a_filter_that_lets_through_more_than_gets_in_leaves_nothing_to_the_seal() -> None:
    assert seal_leak(100, 0.02) == 0
    assert seal_leak(100, 0.001) == pytest.approx(0.009 / 0.999)


@pytest.mark.parametrize(("fit_factor", "penetration"), [(100, 0), (100, 1), (0, 0.1), (math.nan, 0.1), (5, math.nan)])
def test_seal_leak_refuses_what_is_none(fit_factor: float, penetration: float) -> None:
    with pytest.raises(ValueError, match=r"fraction|positive"):
        seal_leak(fit_factor, penetration)
