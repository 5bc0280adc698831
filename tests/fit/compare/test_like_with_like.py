"""One wearer by several methods: which tests carry the comparison, and what is taken out."""

import math

import numpy as np
import pytest

from builder.fit.compare.like_with_like import LikeWithLike, MethodArm, like_with_like
from builder.fit.compare.limits import LimitedArm
from builder.fit.compare.methods import Method, MethodEffects, MethodScales
from builder.fit.compare.nested_scatter import NestedScatter, WearerScatter

SCATTER = NestedScatter(WearerScatter(0.2, 12.0), 20.0, {}, 50, 100, planned=False)
LONG = Method("eight-exercise", "condensation-counter", "all-sizes")
SHORT = Method("one-exercise", "condensation-counter", "all-sizes")
OPTICAL = Method("eight-exercise", "optical-counter", "all-sizes")
EFFECTS = MethodEffects.unknown([LONG, SHORT, OPTICAL])
CEILING = math.log(200)


def arm(method: Method, *values: float, limits: int = 0) -> MethodArm:
    flags = [False] * len(values) + [True] * limits
    return MethodArm(
        method, LimitedArm.of([*values, *[CEILING] * limits], flags, 0.2), 0.0 if limits else len(values) - 1
    )


def found(a: list[MethodArm], b: list[MethodArm]) -> LikeWithLike:
    one = like_with_like(a, b, "ann", SCATTER, EFFECTS)
    assert one is not None
    return one


def test_one_method_is_a_plain_difference() -> None:
    one = found([arm(LONG, 4.0, 4.2)], [arm(LONG, 5.0)])
    assert one.difference.estimate == pytest.approx(0.9)
    assert one.difference.variance == pytest.approx(0.2 * 1.5)
    assert (one.alike, one.shared, one.methods) == (True, (), ((LONG, LONG),))
    assert one.total == pytest.approx((0.3, one.df))


def test_same_methods_alone_carry_it() -> None:
    """Tests by a method that only one side has do not enter."""
    plain = found([arm(LONG, 4.0)], [arm(LONG, 5.0)])
    more = found([arm(LONG, 4.0), arm(SHORT, 4.9, 4.8)], [arm(LONG, 5.0), arm(OPTICAL, 9.0)])
    assert more == plain


def test_two_methods_in_common_weigh_by_what_they_tell() -> None:
    one = found([arm(LONG, 4.0), arm(SHORT, 4.5, 4.5)], [arm(LONG, 5.0), arm(SHORT, 5.2, 5.2)])
    # Variances 0.4 and 0.2.
    assert one.difference.estimate == pytest.approx((1.0 * 1 + 0.7 * 2) / 3)
    assert one.difference.variance == pytest.approx(1 / (1 / 0.4 + 1 / 0.2))
    assert one.alike


def test_otherwise_the_difference_of_methods_is_taken_out() -> None:
    one = found([arm(LONG, 4.0)], [arm(SHORT, 5.0)])
    assert not one.alike
    assert one.difference.estimate == pytest.approx(1.0)
    assert one.difference.variance == pytest.approx(0.4 + 0.2**2)
    variance, df = one.total
    assert variance == pytest.approx(0.4 + 0.2**2 + 0.3**2)
    assert df > one.df
    levels = EFFECTS.levels
    mean = np.array([0.5 if level == ("protocol", "one-exercise") else 0.0 for level in levels])
    known = MethodEffects(MethodScales(), levels, mean, EFFECTS.covariance)
    taken = like_with_like([arm(LONG, 4.0)], [arm(SHORT, 5.0)], "ann", SCATTER, known)
    assert taken is not None
    assert taken.difference.estimate == pytest.approx(0.5)
    assert taken.adjustment.factor == pytest.approx(math.exp(0.5))


def test_the_nearest_methods_are_compared() -> None:
    one = found([arm(LONG, 4.0)], [arm(OPTICAL, 5.0), arm(SHORT, 5.5)])
    assert one.methods == ((LONG, SHORT),)


def test_limits_by_the_same_method_stand_beside_exact_tests() -> None:
    one = found([arm(LONG, 4.0), arm(SHORT, 4.4)], [arm(LONG, limits=1), arm(SHORT, 5.0)])
    assert one.difference.variance == pytest.approx(0.4)
    assert len(one.difference.limited) == 1
    assert one.difference.bound == "none"
    only = found([arm(LONG, 4.0)], [arm(LONG, limits=2)])
    assert (only.difference.bound, only.df) == ("at_least", math.inf)


def test_a_limit_by_another_method() -> None:
    one = found([arm(LONG, 4.0)], [arm(SHORT, limits=1)])
    (limited,) = one.difference.limited
    assert limited.extra == pytest.approx(0.3**2 + 0.2**2)
    assert one.difference.bound == "at_least"
    # Nothing of it counts as shared.
    assert not any(one.shared)


def test_limits_on_both_sides_tell_nothing() -> None:
    assert like_with_like([arm(LONG, limits=1)], [arm(SHORT, limits=1)], "ann", SCATTER, EFFECTS) is None
    assert like_with_like([arm(LONG, limits=1)], [arm(LONG, limits=1)], "ann", SCATTER, EFFECTS) is None
