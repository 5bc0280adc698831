import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.counts.fit_factor import highest_fit_factor, overall_fit_factor

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
