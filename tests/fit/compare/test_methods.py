"""What methods differ by before any bridging test, and what is taken out of a contrast."""

import math

import numpy as np
import pytest

from builder.fit.compare.methods import Method, MethodEffects, MethodScales

LONG = Method("eight-exercise", "condensation-counter", "all-sizes")
SHORT = Method("one-exercise", "condensation-counter", "all-sizes")
OPTICAL = Method("one-exercise", "optical-counter", "narrow-band")


def test_the_same_method_takes_nothing_out() -> None:
    found = MethodEffects.unknown([LONG, OPTICAL]).adjustment(LONG, LONG)
    assert (found.estimate, found.variance, found.factor, found.own) == (0.0, 0.0, 1.0, 0.0)


def test_before_bridging_tests_it_is_the_prior() -> None:
    effects = MethodEffects.unknown([LONG, SHORT, OPTICAL])
    one = effects.adjustment(LONG, SHORT)
    assert one.estimate == 0
    assert one.variance == pytest.approx(0.3**2 + 0.2**2)
    all_three = effects.adjustment(LONG, OPTICAL)
    assert all_three.variance == pytest.approx(0.3**2 + 0.5**2 + 0.7**2 + 0.2**2)
    assert all_three.own == pytest.approx(0.04)


def test_known_levels_are_taken_out() -> None:
    levels = MethodEffects.unknown([LONG, SHORT]).levels
    mean = np.array([math.log(1.4) if level == ("protocol", "one-exercise") else 0.0 for level in levels])
    known = MethodEffects(MethodScales(), levels, mean, np.eye(len(levels)) * 1e-6)
    there, back = known.adjustment(LONG, SHORT), known.adjustment(SHORT, LONG)
    assert there.factor == pytest.approx(1.4)
    assert back.factor == pytest.approx(1 / 1.4)
    assert there.loading == pytest.approx([-part for part in back.loading])


def test_loadings_hold_what_contrasts_share() -> None:
    effects = MethodEffects.unknown([LONG, SHORT, OPTICAL])
    first, second = (np.array(effects.adjustment(LONG, other).loading) for other in (SHORT, OPTICAL))
    # Both rest on the difference of the same two protocols.
    assert float(first @ second) == pytest.approx(0.3**2)


def test_a_level_that_no_test_has() -> None:
    with pytest.raises(KeyError):
        MethodEffects.unknown([LONG]).adjustment(LONG, OPTICAL)
