from random import Random

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from builder.fit.summary.censoring import Median, grouped_medians, kaplan_meier, median

readings = st.lists(
    st.tuples(st.one_of(st.integers(1, 12).map(float), st.floats(1, 1e5)), st.booleans()), min_size=1, max_size=40
)


def split(pairs: list[tuple[float, bool]]) -> tuple[np.ndarray, np.ndarray]:
    return np.array([value for value, _ in pairs]), np.array([censored for _, censored in pairs])


@pytest.mark.parametrize(
    ("values", "at_least", "expected"),
    [
        ([50], [False], Median(50, False)),
        ([50], [True], Median(50, True)),
        ([50, 200], [False, False], Median(125, False)),
        # One half survives 50 and nothing says for how long.
        ([50, 200], [False, True], Median(50, True)),
        # The curve stays at one half from 50 to the next exact reading.
        ([20, 50, 100, 200], [False, False, True, False], Median(125, False)),
        # More than half survive the largest reading.
        ([20, 200, 200], [False, True, True], Median(200, True)),
        ([20, 100, 200], [False, True, True], Median(200, True)),
        ([20, 200, 200], [False, False, True], Median(200, False)),
        ([200, 20, 200], [True, False, False], Median(200, False)),
        ([20, 30, 200, 200, 200], [False, False, True, True, False], Median(200, False)),
    ],
)
def test_medians(values: list[float], at_least: list[bool], expected: Median) -> None:
    assert median(values, at_least) == expected


def test_exact_readings_come_before_at_least_ones_of_the_same_value() -> None:
    curve = kaplan_meier([100, 100, 100, 100], [False, True, False, True])
    np.testing.assert_allclose(curve.times, [100])
    np.testing.assert_allclose(curve.survival, [0.5])


def test_a_curve_without_exact_readings_has_no_steps() -> None:
    assert kaplan_meier([5, 6], [True, True]).times.size == 0


@given(st.lists(st.floats(1, 1e6), min_size=1, max_size=60))
def test_without_censoring_the_median_is_the_ordinary_one(values: list[float]) -> None:
    assert median(values, [False] * len(values)) == Median(float(np.median(values)), False)


def test_a_long_curve_still_finds_one_half() -> None:
    values = np.arange(1.0, 20_001)
    assert median(values, np.zeros(20_000, dtype=bool)) == Median(10_000.5, False)


@given(readings, st.sampled_from([0.25, 2.0, 8.0]))
def test_scale_equivariance(pairs: list[tuple[float, bool]], scale: float) -> None:
    values, at_least = split(pairs)
    plain, scaled = median(values, at_least), median(values * scale, at_least)
    assert scaled == Median(plain.value * scale, plain.at_least)


@given(readings, st.randoms(use_true_random=False))
def test_order_does_not_matter(pairs: list[tuple[float, bool]], random: Random) -> None:
    shuffled = list(pairs)
    random.shuffle(shuffled)
    assert median(*split(pairs)) == median(*split(shuffled))


@given(readings)
def test_censoring_never_lowers_the_median(pairs: list[tuple[float, bool]]) -> None:
    values, at_least = split(pairs)
    censored = median(values, at_least)
    # A lower limit may stop at the lower of the two middle readings, of which the median is the mean.
    middle = np.sort(values)[(len(values) - 1) // 2] if censored.at_least else np.median(values)
    assert censored.value >= middle


@given(readings, st.data())
def test_one_more_censored_reading_never_lowers_an_exact_median(
    pairs: list[tuple[float, bool]], data: st.DataObject
) -> None:
    values, at_least = split(pairs)
    before = median(values, at_least)
    more = at_least.copy()
    more[data.draw(st.integers(0, len(values) - 1))] = True
    after = median(values, more)
    assume(not after.at_least)
    assert after.value >= before.value


@given(st.lists(st.tuples(readings, st.booleans()), max_size=6))
def test_grouped_medians_are_those_of_each_group(parts: list[tuple[list[tuple[float, bool]], bool]]) -> None:
    groups = [split(pairs) if filled else (np.empty(0), np.empty(0, dtype=bool)) for pairs, filled in parts]
    numbers = np.repeat(np.arange(len(groups)), [len(values) for values, _ in groups])
    values = np.concatenate([np.empty(0), *(values for values, _ in groups)])
    at_least = np.concatenate([np.empty(0, dtype=bool), *(censored for _, censored in groups)])
    order = np.random.default_rng(0).permutation(len(values))
    result = grouped_medians(values[order], at_least[order], numbers[order], len(groups))
    for number, (own, censored) in enumerate(groups):
        if len(own):
            assert Median(result.value[number], result.at_least[number]) == median(own, censored)
        else:
            assert np.isnan(result.value[number]) and not result.at_least[number]


@pytest.mark.parametrize(
    ("values", "at_least", "message"),
    [
        ([], [], "at least one reading"),
        ([1, 2], [True], "its own mark"),
        ([[1.0]], [[False]], "its own mark"),
        ([float("nan")], [False], "must be numbers"),
    ],
)
def test_impossible_readings_are_refused(values: list[float], at_least: list[bool], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        median(values, at_least)
