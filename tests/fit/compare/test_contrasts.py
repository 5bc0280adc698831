"""Two configurations on one wearer, over all wearers, and across different faces."""

import math

import numpy as np
import pytest
from scipy.special import log_ndtr

from builder.fit.compare.pooling import bayes_pool
from builder.fit.compare.power import more_donnings
from builder.fit.compare.two_configurations import FACE_SD
from tests.fit.tables import Row, compared, contrast, readings, scatter_of_all, tidy

SCATTER = scatter_of_all(0.1, 20.0)
WIRE = "m+nose_wire-steel"


def both(wearer: str, without: float, with_: float) -> list[Row]:
    return [("m", wearer, without), (WIRE, wearer, with_)]


def test_one_against_one() -> None:
    found = contrast(readings([math.log(50)], SCATTER), readings([math.log(100)], SCATTER), SCATTER)
    assert found.ratio == pytest.approx(2)
    # t with 20 degrees of freedom: 1.724718 and 2.845340 at the 95th and 99.5th percentile.
    assert found.high90 == pytest.approx(2 * math.exp(1.724718 * math.sqrt(0.2)), rel=1e-6)
    assert found.low99 == pytest.approx(2 / math.exp(2.845340 * math.sqrt(0.2)), rel=1e-6)
    assert (found.verdict, found.direction) == ("cannot-tell", "none")
    assert found.donnings_needed == more_donnings(2, math.exp(math.sqrt(0.1)), 1, 1, 20)
    smaller = contrast(readings([math.log(50)], SCATTER), readings([math.log(70)], SCATTER), SCATTER)
    assert smaller.donnings_for_seen == more_donnings(1.4, math.exp(math.sqrt(0.1)), 1, 1, 20)
    assert (smaller.donnings_for_seen or 0) > (smaller.donnings_needed or 0)
    assert contrast(readings([4.0], SCATTER), readings([4.0], SCATTER), SCATTER).donnings_for_seen is None


def test_swapping_sides_turns_the_ratio_round() -> None:
    a, b = readings([3.0, 3.4], SCATTER), readings([5.0], SCATTER)
    forth, back = contrast(a, b, SCATTER), contrast(b, a, SCATTER)
    assert forth.ratio is not None and forth.low90 is not None
    assert back.ratio == pytest.approx(1 / forth.ratio)
    assert back.high90 == pytest.approx(1 / forth.low90)
    assert (forth.direction, back.direction) == ("b-higher", "a-higher")


def test_limits() -> None:
    low, high = readings([3.0], SCATTER), readings([6.0], SCATTER, [True])
    found = contrast(low, high, SCATTER)
    assert (found.bound, found.verdict, found.high90) == ("at_least", "clear", None)
    found = contrast(high, low, SCATTER)
    assert (found.bound, found.verdict, found.low90) == ("at_most", "clear", None)
    found = contrast(readings([6.0], SCATTER), readings([5.0], SCATTER, [True]), SCATTER)
    assert (found.verdict, found.donnings_needed) == ("cannot-tell", None)
    found = contrast(high, high, SCATTER)
    assert (found.ratio, found.verdict) == (None, "cannot-tell")


def test_an_exact_reading_beside_a_limit_bounds_the_ratio_on_both_sides() -> None:
    """The likelihood of the level that gave 5 and at least 6, beside one that gave 3."""
    mixed = contrast(readings([3.0], SCATTER), readings([5.0, 6.0], SCATTER, [False, True]), SCATTER)
    level = np.linspace(2, 10, 4001)
    log = -0.5 * (5.0 - level) ** 2 / 0.1 + log_ndtr((level - 6.0) / math.sqrt(0.1))
    weights = np.exp(log - log.max())
    weights /= weights.sum()
    mean = float(weights @ level)
    assert mixed.bound == "none"
    assert mixed.ratio == pytest.approx(math.exp(mean - 3.0), rel=1e-6)
    assert mixed.variance == pytest.approx(float(weights @ (level - mean) ** 2) + 0.1, rel=1e-5)
    assert mixed.df == 20


def test_one_wearer_in_common_is_that_contrast() -> None:
    found = compared(tidy([*both("ann", 20, 90), ("m", "bob", 5), (WIRE, "cy", 500)]), "m", WIRE, SCATTER)
    assert found.same_wearers
    assert (found.only_a, found.only_b, found.pooled, found.n_a, found.n_b) == (1, 1, 1, 1, 1)
    assert found.ratio == pytest.approx(4.5)
    assert found.ratio == found.wearers[0].ratio
    assert (found.low90, found.verdict) == (found.wearers[0].low90, found.wearers[0].verdict)
    assert found.predict_low95 is None and found.tau is None


def test_several_wearers_are_pooled() -> None:
    found = compared(tidy([*both("ann", 20, 90), *both("bob", 10, 70), *both("cy", 8, 60)]), "m", WIRE, SCATTER)
    effects = np.log([90 / 20, 70 / 10, 60 / 8])
    pooled = bayes_pool(effects, [0.2] * 3)
    assert found.ratio == pytest.approx(math.exp(pooled.mean.mean))
    assert found.low99 == pytest.approx(math.exp(pooled.mean.interval(0.99).low))
    assert found.predict_high95 == pytest.approx(math.exp(pooled.new.interval(0.95).high))
    assert (found.verdict, found.direction, found.pooled) == ("clear", "b-higher", 3)


def test_wearers_at_the_ceiling_are_pooled_as_limits() -> None:
    rows = [*both("ann", 20, 90), *both("bob", 30, 200), *both("cy", 8, 200), *both("di", 200, 200)]
    found = compared(tidy(rows, at_least=[3, 5, 6, 7]), "m", WIRE, SCATTER)
    assert (found.bound, found.pooled) == ("none", 3)
    assert (found.verdict, found.direction) == ("clear", "b-higher")
    # More than where the limits are taken at their values.
    assert found.ratio is not None
    assert math.log(found.ratio) > bayes_pool(np.log([90 / 20, 200 / 30, 200 / 8]), [0.2] * 3).mean.mean
    assert found.high90 is not None
    assert [c.bound for c in found.wearers] == ["none", "at_least", "at_least", "both"]


def test_limits_in_both_directions_have_a_ratio() -> None:
    found = compared(tidy([*both("ann", 20, 200), *both("bob", 200, 20)], at_least=[1, 2]), "m", WIRE, SCATTER)
    assert (found.bound, found.verdict, found.pooled) == ("none", "cannot-tell", 2)
    assert found.ratio == pytest.approx(1, abs=1e-6)
    assert [c.bound for c in found.wearers] == ["at_least", "at_most"]


def test_donnings_needed_over_wearers() -> None:
    rows = [*both("ann", 20, 24), *both("bob", 30, 38), *both("cy", 9, 12), *both("di", 20, 26), *both("di", 22, 26)]
    wide = scatter_of_all(0.6, 20.0)
    alike = compared(tidy([*rows, *both("ed", 50, 60), *both("flo", 8, 10), ("m", "flo", 9)]), "m", WIRE, wide)
    assert alike.verdict == "cannot-tell"
    # So many more that the pooled mean is known well enough: its standard error is ln 2 / (1.645 + 0.842).
    tau, wanted = alike.tau or 0.0, math.log(2) / (1.644854 + 0.841621)

    def standard_error(more: int) -> float:
        variances = [math.log(c.gsd) ** 2 * (1 / (c.n_a + more) + 1 / (c.n_b + more)) for c in alike.wearers]
        return math.sqrt(1 / sum(1 / (variance + tau**2) for variance in variances))

    assert tau > 0
    needed = alike.donnings_needed or 0
    assert standard_error(needed) <= wanted < standard_error(needed - 1)
    assert needed > 0
    apart = compared(tidy([*both("ann", 20, 200), *both("bob", 200, 20)]), "m", WIRE, SCATTER)
    assert apart.donnings_needed is None  # the wearers themselves differ: more donnings do not help


def test_different_faces_are_said_to_differ() -> None:
    found = compared(tidy([("m", "ann", 20), (WIRE, "bob", 60)]), "m", WIRE, SCATTER)
    assert not found.same_wearers
    assert (found.verdict, found.wearers, found.only_a, found.only_b) == ("cannot-tell", (), 1, 1)
    assert found.ratio == pytest.approx(3)
    # t with 4 degrees of freedom: 2.131847 at the 95th percentile.
    half = 2.131847 * math.sqrt(2 * (FACE_SD**2 + 0.1))
    assert found.high90 == pytest.approx(3 * math.exp(half), rel=1e-6)


def test_different_faces_need_a_clear_difference() -> None:
    likely = [("m", f"a{i}", f) for i, f in enumerate((5, 20, 40))] + [
        (WIRE, f"b{i}", f) for i, f in enumerate((40, 90, 150))
    ]
    assert compared(tidy(likely), "m", WIRE, SCATTER).verdict == "cannot-tell"
    clear = [("m", f"a{i}", 3 + i) for i in range(6)] + [(WIRE, f"b{i}", 300 + i) for i in range(6)]
    found = compared(tidy(clear), "m", WIRE, SCATTER)
    assert (found.verdict, found.direction, found.same_wearers) == ("clear", "b-higher", False)


def test_a_beard_makes_another_face() -> None:
    table = tidy(both("ann", 20, 90))
    table.loc[1, "facial_hair"] = "beard"
    assert not compared(table, "m", WIRE, SCATTER).same_wearers


def test_nothing_to_compare() -> None:
    with pytest.raises(ValueError, match="m has no test that counts"):
        compared(tidy(both("ann", 20, 90), set_aside=[0]), "m", WIRE, SCATTER)
