"""Scatter in two steps: what few repeats give, what many give, and the degrees of freedom of sums."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import polygamma
from scipy.stats import f

from builder.fit.compare.contrasts import Contrast, told_by
from builder.fit.compare.methods import MethodEffects
from builder.fit.compare.nested_scatter import (
    ARM_SCALE,
    LEVEL,
    LEVEL_SD,
    WEARER_SCALE,
    NestedScatter,
    WearerScatter,
    inverse_trigamma,
    nested_scatter,
    repeat_arms,
    scatter_of,
)
from builder.fit.compare.power import more_donnings
from tests.fit.tables import ONE_METHOD, readings, tidy

FIXED = NestedScatter(WearerScatter(0.2, 5.0), 10.0, {"ann": WearerScatter(0.4, 8.0)}, 9, 20, planned=False)


def test_without_repeats_it_is_the_planning_value() -> None:
    """A GSD of 2 with about 4 degrees of freedom, for any arm."""
    none = scatter_of([], [], [])
    assert (none.planned, none.arms, none.total_df, none.wearers) == (True, 0, 0, {})
    assert none.gsd == pytest.approx(2, rel=0.01)
    assert none.degrees([[1.0]], [[0.0]], ["anyone"])[0] == pytest.approx(4, abs=0.2)


def test_few_repeats_are_weighed_with_the_planning_value() -> None:
    one = scatter_of([0.01], [2], ["ann"])
    assert one.planned
    assert 0.01 < one.wearers["ann"].variance < one.stranger.variance < scatter_of([], [], []).stranger.variance


def test_many_repeats_of_one_wearer_are_their_own() -> None:
    many = scatter_of([0.09] * 60, [4] * 60, ["ann"] * 60)
    ann = many.wearers["ann"]
    assert ann.variance == pytest.approx(0.09, rel=0.03)
    assert ann.df > 150
    assert many.stranger.df < 10


def test_a_wearer_who_scatters_more_has_more() -> None:
    wearers = [f"w{i}" for i in range(12) for _ in range(8)]
    variances = np.where(np.arange(96) < 48, 0.1, 0.4)
    found = scatter_of(variances, np.full(96, 2), wearers)
    assert found.wearers["w0"].variance == pytest.approx(0.11, abs=0.02)
    assert found.wearers["w11"].variance == pytest.approx(0.36, abs=0.04)
    assert found.wearers["w0"].variance < found.stranger.variance < found.wearers["w11"].variance
    assert not found.planned


def test_posterior_is_that_of_draws_from_the_priors() -> None:
    """The same model weighed over many draws of the four unknowns."""
    s2, d = np.array([0.02, 0.05, 0.6]), np.array([1, 3, 2])
    found = scatter_of(s2, d, ["ann", "ann", "bob"])
    rng = np.random.default_rng(5)
    n = 400_000
    level = rng.normal(LEVEL, LEVEL_SD, n)
    between, within = (np.abs(rng.normal(0, scale, n)) for scale in (WEARER_SCALE, ARM_SCALE))
    arm_df = np.minimum(2 / within**2 + 1, 1e5)  # ψ′(x) ≈ 1/x + 1/(2x²)
    ann, bob = (level + between * rng.normal(size=n) for _ in range(2))
    weight = np.ones(n)
    for log_variance, variance, df in zip((ann, ann, bob), s2, d, strict=True):
        weight *= f.pdf(variance / np.exp(log_variance), df, arm_df) / np.exp(log_variance)
    weight /= weight.sum()
    for name, log_variance in (("ann", ann), ("bob", bob)):
        mean = float(weight @ log_variance)
        variance = float(weight @ (log_variance - mean) ** 2)
        one = found.wearers[name]
        assert polygamma(1, one.df / 2) == pytest.approx(variance, rel=0.03)
        assert math.log(one.variance) == pytest.approx(
            mean + float(polygamma(0, one.df / 2)) - math.log(one.df / 2), abs=0.02
        )


def test_moderated_variance_of_an_arm() -> None:
    assert FIXED.moderated(0.9, 5, ["ann"])[0] == pytest.approx((10 * 0.4 + 5 * 0.9) / 15)
    assert FIXED.moderated(np.nan, 0, ["ann"])[0] == 0.4
    assert FIXED.moderated(np.nan, 0, ["anyone else"])[0] == 0.2


def on_ann(a: list[float], b: list[float], scatter: NestedScatter) -> Contrast:
    without, with_ = ([readings(values, scatter, wearer="ann")] for values in (a, b))
    return told_by(without, with_, scatter, MethodEffects.unknown([ONE_METHOD]), wearer="ann").contrast


def test_difference_of_two_arms() -> None:
    found = on_ann([0.0, 1.0], [2.0], FIXED)
    v_a, v_b = (10 * 0.4 + 0.5) / 11, 0.4
    variance = v_a / 2 + v_b
    p_a, p_b = v_a / 2 / variance, v_b / variance
    inverse = p_a**2 / 11 + p_b**2 / 10 + (p_a * 10 / 11 + p_b) ** 2 / 8
    assert found.estimate == 1.5
    assert found.variance == pytest.approx(variance)
    assert math.log(found.gsd) ** 2 == pytest.approx(variance / 1.5)
    assert found.df == pytest.approx(1 / inverse)
    assert found.bound == "none"


def test_more_repeats_tell_more_of_a_wearer() -> None:
    """Each arm adds what its own degrees of freedom and those between arms leave."""
    assert FIXED.after(3, 5.0).df == pytest.approx(5 + 3 * 5 * 10 / 15)
    assert FIXED.after(3, 0.0) == FIXED.stranger


def test_where_arms_do_not_differ_the_wearer_is_all() -> None:
    alike = NestedScatter(WearerScatter(0.2, 5.0), math.inf, {"ann": WearerScatter(0.4, 8.0)}, 9, 20, planned=False)
    found = on_ann([0.0, 3.0], [2.0], alike)
    assert found.variance == pytest.approx(0.4 * 1.5)
    assert found.df == pytest.approx(8)


def test_repeats_are_of_one_wearer_in_one_configuration() -> None:
    e = float(np.e)
    table = tidy([("m", "ann", 1), ("m", "ann", e**2), ("m", "bob", 1), ("m+edge-tape", "ann", 5)])
    repeats = repeat_arms(table)
    assert repeats["wearer"].tolist() == ["ann"]
    assert repeats["variance"].tolist() == pytest.approx([2.0])
    assert repeats["df"].tolist() == [1]


def test_a_beard_is_no_repeat_of_a_shaved_face() -> None:
    table = tidy([("m", "ann", 10), ("m", "ann", 20)])
    table.loc[1, "facial_hair"] = "beard"
    assert repeat_arms(table).empty


def test_arms_with_a_limit_stay_out_as_a_whole() -> None:
    rows = [("m", "ann", 40.0), ("m", "ann", 60.0), ("m", "bob", 150.0), ("m", "bob", 180.0), ("m", "bob", 200.0)]
    repeats = repeat_arms(tidy(rows, at_least=[4]))
    assert repeats["wearer"].tolist() == ["ann"]
    assert repeats["variance"].tolist() == pytest.approx([math.log(1.5) ** 2 / 2])
    assert repeats["df"].tolist() == [1]
    assert repeat_arms(tidy(rows, at_least=[4], set_aside=[4]))["df"].tolist() == [1, 1]


def test_tests_by_another_method_are_no_repeats() -> None:
    table = tidy([("m", "ann", 40.0), ("m", "ann", 60.0), ("m", "ann", 50.0)])
    table.loc[0, "instrument"] = "optical-counter"
    assert repeat_arms(table)["df"].tolist() == [1]


def test_order_of_rows_does_not_matter() -> None:
    rows = [("m", wearer, value) for wearer in ("ann", "bob", "cy") for value in (30.0, 40.0, 90.0)]
    table = tidy([*rows, ("n", "ann", 10.0), ("n", "ann", 12.0)])
    there, back = nested_scatter(table), nested_scatter(table.iloc[::-1])
    assert list(there.wearers) == list(back.wearers) == ["ann", "bob", "cy"]
    for name in there.wearers:
        assert back.wearers[name].variance == pytest.approx(there.wearers[name].variance, rel=1e-12)


def test_equal_readings_are_rounded_ones() -> None:
    found = scatter_of([0.0] * 3, [1] * 3, ["ann"] * 3)
    assert 0 < found.wearers["ann"].variance < 0.2


ARMS = st.lists(
    st.tuples(st.floats(0, 30), st.integers(1, 40), st.sampled_from(["ann", "bob", "cy"])), min_size=0, max_size=12
)


@settings(deadline=None)
@given(ARMS)
def test_any_repeats_give_a_sensible_scatter(arms: list[tuple[float, int, str]]) -> None:
    variances, df, wearers = ([arm[i] for arm in arms] for i in range(3))
    found = scatter_of(variances, df, [str(wearer) for wearer in wearers])
    for one in (found.stranger, *found.wearers.values()):
        assert 1e-4 < one.variance < 30
        assert one.df > 1
        needed = more_donnings(2, math.exp(math.sqrt(one.variance)), 1, 1, one.df)
        assert needed is None or needed >= 0
    assert found.arm_df > 2


@given(st.floats(1e-4, 9), st.integers(1, 30), st.integers(1, 9), st.integers(1, 9))
def test_moderated_lies_between_and_degrees_add(variance: float, df: int, n_a: int, n_b: int) -> None:
    moderated = FIXED.moderated(variance, df, ["ann"])[0]
    assert min(variance, 0.4) <= moderated * (1 + 1e-12)
    assert moderated <= max(variance, 0.4) * (1 + 1e-12)
    parts = np.array([[moderated / n_a], [0.4 / n_b]])
    degrees = FIXED.degrees(parts / parts.sum(), np.array([[float(df)], [0.0]]), ["ann"])[0]
    assert 1 / (1 / 10 + 1 / 8) - 1e-9 <= degrees <= 8 + 10 + 10 + df


@given(st.floats(1e-9, 1e9))
def test_inverse_trigamma(value: float) -> None:
    assert float(polygamma(1, inverse_trigamma(value))) == pytest.approx(value, rel=1e-6)
