import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.fitfactor import (
    LEVELS,
    PASS_LEVEL,
    exercise_fit_factor,
    highest_fit_factor,
    overall_fit_factor,
    total_inward_leakage,
)

fit_factors = st.lists(st.floats(0.5, 1e5), min_size=1, max_size=20)


def test_ambient_before_and_after_are_averaged() -> None:
    assert exercise_fit_factor(5000, 4600, 24) == 200


@pytest.mark.parametrize(
    ("before", "after", "mask", "message"),
    [
        (0, 0, 5, "ambient concentration must be positive"),
        (-1, 5, 5, "ambient concentration must be positive"),
        (100, 100, 0, "in-mask concentration must be positive"),
        (100, 100, -1, "in-mask concentration must be positive"),
        (math.nan, 100, 1, "finite"),
        (math.inf, 100, 1, "finite"),
    ],
)
def test_impossible_concentrations_are_refused(before: float, after: float, mask: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        exercise_fit_factor(before, after, mask)


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
    mean = sum(total_inward_leakage(value) for value in values) / len(values)
    assert total_inward_leakage(overall_fit_factor(values)) == pytest.approx(mean, rel=1e-9)


@pytest.mark.parametrize("fit_factor", [0, -3, math.nan])
def test_leakage_needs_a_positive_fit_factor(fit_factor: float) -> None:
    with pytest.raises(ValueError, match="positive"):
        total_inward_leakage(fit_factor)


@pytest.mark.parametrize("penetration", [0, -0.1, 1.01, math.nan])
def test_filter_penetration_is_a_fraction(penetration: float) -> None:
    with pytest.raises(ValueError, match="fraction"):
        highest_fit_factor(penetration)


def test_the_pass_level_is_that_of_half_masks_everywhere() -> None:
    assert {level.fit_factor for level in LEVELS if level.facepiece == "half mask"} == {PASS_LEVEL}
