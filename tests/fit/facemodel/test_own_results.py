import numpy as np
import pytest

from builder.fit.compare.methods import Method, MethodEffects, MethodScales
from builder.fit.facemodel.own_results import FIT_TEST_KINDS, LEAK_WRONGLY_FELT, OwnResult, sites_of

REFERENCE = Method("eight-exercise", "condensation-counter", "narrow-band")
BREATHING = Method("one-exercise", "condensation-counter", "narrow-band")
METHODS = MethodEffects.unknown([REFERENCE, BREATHING])


def test_each_answer_by_hand() -> None:
    told = [
        OwnResult("a", "fit-factor", 64.0),
        OwnResult("a", "fit-factor", 0.5),
        OwnResult("a", "passed"),
        OwnResult("a", "failed", kind="taste"),
        OwnResult("a", "leaks"),
    ]
    sites = sites_of(told, METHODS, REFERENCE)
    assert sites.side.tolist() == [0, 0, 1, -1, -1]
    assert sites.place == pytest.approx([np.log(64), 0.0, np.log(100), np.log(100), np.log(20)])
    taste = FIT_TEST_KINDS["taste"]
    assert sites.floor == pytest.approx([0, 0, 0, taste.wrong_fails, LEAK_WRONGLY_FELT])
    assert sites.slope == pytest.approx([1, 1, 1, 1 - taste.wrong_fails - taste.wrong_passes, 1 - LEAK_WRONGLY_FELT])
    assert sites.shift == pytest.approx(np.zeros(5))
    assert sites.shift_covariance == pytest.approx(np.zeros((5, 5)))


def test_another_method_is_less_certain_and_alike_in_all_that_was_measured_so() -> None:
    told = [OwnResult("a", "fit-factor", 64.0, method=m) for m in (BREATHING, BREATHING, None)]
    scales, sites = MethodScales(), sites_of(told, METHODS, REFERENCE)
    between = scales.protocol**2 + scales.wearer**2
    assert sites.shift_covariance == pytest.approx(np.array([[between, between, 0], [between, between, 0], [0, 0, 0]]))


def test_every_kind_of_test_has_its_source() -> None:
    assert set(FIT_TEST_KINDS) == {"quantitative", "taste", "smell"}
    for kind in FIT_TEST_KINDS.values():
        assert kind.source
        assert 0 <= kind.wrong_passes < 1 - kind.wrong_fails


def test_the_shares_of_wrong_answers_are_the_published_ones() -> None:
    """Coffey et al. 2002 and ANSI/AIHA Z88.10, values from memory."""
    assert (FIT_TEST_KINDS["taste"].wrong_passes, FIT_TEST_KINDS["taste"].wrong_fails) == (0.11, 0.5)


def test_an_unknown_kind_of_test() -> None:
    with pytest.raises(KeyError):
        sites_of([OwnResult("a", "passed", kind="sight")], METHODS, REFERENCE)
