"""Verdicts: the word for an interval, limits, and lists of several against one."""

import math
from dataclasses import replace

import pytest
from scipy.stats import norm
from statsmodels.stats.multitest import multipletests

from builder.fit.compare.verdicts import UNKNOWN, Bound, Judgement, holm, judge, verdicts_in_list
from builder.fit.intervals import Interval


def normal(ratio: float, factor: float, bound: Bound = "none") -> Judgement:
    """A judgement of a ratio whose 90 % interval is ×÷ `factor`."""
    difference, se = math.log(ratio), math.log(factor) / norm.ppf(0.95)

    def interval(level: float) -> Interval:
        half = norm.ppf((1 + level) / 2) * se
        return Interval(difference - half, difference + half)

    return judge(difference, interval, 2 * norm.sf(abs(difference) / se), bound)


@pytest.mark.parametrize(
    ("ratio", "factor", "verdict", "direction"),
    [
        (3.0, 1.5, "clear", "b-higher"),
        (1 / 3, 1.5, "clear", "a-higher"),
        (2.0, 1.9, "likely", "b-higher"),
        (0.5, 1.9, "likely", "a-higher"),
        (1.1, 1.3, "alike", "none"),
        (1.2, 1.3, "cannot-tell", "none"),
        (1.3, 1.1, "clear", "b-higher"),
    ],
)
def test_words(ratio: float, factor: float, verdict: str, direction: str) -> None:
    found = normal(ratio, factor)
    assert (found.verdict, found.direction) == (verdict, direction)
    assert (found.low90, found.ratio, found.high90) == pytest.approx((ratio / factor, ratio, ratio * factor))


def test_at_least_proves_only_upwards() -> None:
    found = normal(3.0, 1.5, "at_least")
    assert (found.verdict, found.direction, found.high90, found.high99) == ("clear", "b-higher", None, None)
    assert found.low90 == pytest.approx(2)
    assert normal(1 / 3, 1.5, "at_least").verdict == "cannot-tell"
    assert normal(1.0, 1.2, "at_least").verdict == "cannot-tell"


def test_at_most_proves_only_downwards() -> None:
    found = normal(1 / 3, 1.5, "at_most")
    assert (found.verdict, found.direction, found.low90, found.low99) == ("clear", "a-higher", None, None)
    assert normal(3.0, 1.5, "at_most").verdict == "cannot-tell"


def test_limits_on_both_sides_tell_nothing() -> None:
    assert normal(9.0, 1.1, "both") == UNKNOWN


def test_list_holds_back_what_chance_would_give() -> None:
    one, others = normal(2.0, 1.55), [normal(1.0, 1.2)] * 9
    assert one.verdict == "clear"
    first, *rest = verdicts_in_list([one, *others])
    assert (first.verdict, first.direction, first.comparisons) == ("likely", "b-higher", 10)
    assert first.p_value == pytest.approx(10 * one.p_value)
    assert [item.verdict for item in rest] == ["alike"] * 9
    assert verdicts_in_list([one])[0] == one
    assert verdicts_in_list([]) == ()


@pytest.mark.parametrize(
    ("p_value", "verdict"),
    [(0.00999, "clear"), (0.01, "likely"), (0.0999, "likely"), (0.10, "cannot-tell"), (1.0, "cannot-tell")],
)
def test_words_change_at_one_and_ten_percent(p_value: float, verdict: str) -> None:
    assert judge(1.0, lambda _: Interval(0.1, 1.9), p_value, "none").verdict == verdict


@pytest.mark.parametrize(("p_value", "verdict"), [(0.00499, "clear"), (0.005, "likely"), (0.00501, "likely")])
def test_list_takes_clear_below_one_percent_of_the_whole(p_value: float, verdict: str) -> None:
    first, second = verdicts_in_list([replace(normal(4.0, 1.5), p_value=p_value), normal(1.0, 1.2)])
    assert (first.p_value, first.verdict) == (2 * p_value, verdict)
    assert second.verdict == "alike"


def test_list_keeps_what_is_clear_enough() -> None:
    assert verdicts_in_list([normal(4.0, 1.5)] * 10)[0].verdict == "clear"


@pytest.mark.parametrize("p", [[0.01, 0.04, 0.03, 0.005], [0.5, 0.5], [0.2], [0.001, 0.9, 0.001, 0.6, 0.02]])
def test_holm_is_that_of_statsmodels(p: list[float]) -> None:
    assert holm(p).tolist() == pytest.approx(multipletests(p, method="holm")[1].tolist())
