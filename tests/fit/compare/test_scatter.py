"""Re-donning scatter: which tests count as repeats, and what their variances are shrunk to."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import polygamma

from builder.fit.compare.scatter import (
    ROUNDING_VARIANCE,
    Scatter,
    arm_variances,
    estimate_scatter,
    fit_prior,
    inverse_trigamma,
)
from tests.fit.tables import tidy


def test_repeats_are_of_one_wearer_in_one_configuration() -> None:
    e = float(np.e)
    table = tidy([("m", "ann", 1), ("m", "ann", e**2), ("m", "bob", 1), ("m+edge-tape", "ann", 5)])
    repeats = arm_variances(table)
    assert repeats.index.tolist() == [("m", "ann", "none")]
    assert repeats["variance"].tolist() == pytest.approx([2.0])
    assert repeats["df"].tolist() == [1]


def test_a_beard_is_no_repeat_of_a_shaved_face() -> None:
    table = tidy([("m", "ann", 10), ("m", "ann", 20)])
    table.loc[1, "facial_hair"] = "beard"
    assert arm_variances(table).empty


def test_limits_and_tests_set_aside_are_no_repeats() -> None:
    table = tidy([("m", "ann", 10), ("m", "ann", 200), ("m", "ann", 30)], at_least=[1], set_aside=[2])
    assert arm_variances(table).empty


def test_planning_value_below_five_arms() -> None:
    table = tidy([("m", wearer, fit) for wearer in "abcd" for fit in (50, 60, 70)])
    scatter = estimate_scatter(table)
    assert scatter == Scatter(float(np.log(2) ** 2), 4.0, arms=4, total_df=8, planned=True)
    assert scatter.gsd == pytest.approx(2)


def test_nothing_to_go_by_still_gives_the_planning_value() -> None:
    scatter = estimate_scatter(tidy([("m", "ann", 10)]))
    variance, df = scatter.moderated(np.nan, 0)
    assert float(variance) == pytest.approx(np.log(2) ** 2)
    assert float(df) == 4.0


def test_five_arms_are_enough() -> None:
    table = tidy([("m", wearer, fit) for wearer in "abcde" for fit in (50, 60)])
    scatter = estimate_scatter(table)
    assert (scatter.planned, scatter.arms, scatter.total_df) == (False, 5, 5)
    assert scatter.prior_df == np.inf


def test_moderated_by_hand() -> None:
    variance, df = Scatter(0.2, 4.0, arms=20, total_df=30, planned=False).moderated([0.5, np.nan], [2.0, 0.0])
    assert variance.tolist() == pytest.approx([(4 * 0.2 + 2 * 0.5) / 6, 0.2])
    assert df.tolist() == [6.0, 4.0]


def test_moderated_never_has_more_df_than_the_repeats() -> None:
    scatter = Scatter(0.2, float("inf"), arms=6, total_df=7, planned=False)
    variance, df = scatter.moderated([0.5, 9.0], [2, 0])
    assert variance.tolist() == [0.2, 0.2]
    assert df.tolist() == [9.0, 7.0]
    assert float(Scatter(0.2, 50.0, arms=6, total_df=7, planned=False).moderated(0.5, 2)[1]) == 9.0


def test_equal_readings_stand_for_rounding() -> None:
    exact, rounded = (fit_prior([v, 0.1, 0.2, 0.3, 0.4], [1] * 5) for v in (0.0, ROUNDING_VARIANCE))
    assert exact == rounded


def test_equal_variances_have_an_infinite_prior() -> None:
    variance, df = fit_prior([0.2] * 8, [3] * 8)
    assert df == np.inf
    # E[ln s²] = ln σ² + ψ(d/2) − ln(d/2): the geometric mean is below the variance itself.
    assert variance > 0.2


@given(st.floats(1e-9, 1e9))
def test_inverse_trigamma(value: float) -> None:
    assert float(polygamma(1, inverse_trigamma(value))) == pytest.approx(value, rel=1e-6)
