"""Exact and limited backgrounds of one difference."""

import math

import numpy as np
import pytest

from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.limits import LimitedArm, LimitedDifference

CEILING = math.log(200)
ABOVE = LimitedDifference(LimitedArm(1, 4.0, (), 0.2), LimitedArm(0, 0.0, (CEILING,), 0.2))
BELOW = LimitedDifference(ABOVE.b, ABOVE.a)


def test_backgrounds_multiply() -> None:
    found = JointDifference(0.8, 0.3, (ABOVE, BELOW))
    d = np.array([0.0, 0.5, 1.0])
    expected = -0.5 * (d - 0.8) ** 2 / 0.3 + ABOVE.log_likelihood(d) + BELOW.log_likelihood(d)
    np.testing.assert_allclose(found.log_likelihood(d), expected)


def test_which_way_it_bounds() -> None:
    assert JointDifference(0.8, 0.3).exact
    assert JointDifference(0.8, 0.3, (ABOVE,)).bound == "none"
    assert JointDifference(0.0, math.inf, (ABOVE, ABOVE)).bound == "at_least"
    assert JointDifference(0.0, math.inf, (BELOW,)).bound == "at_most"
    assert JointDifference(0.0, math.inf, (ABOVE, BELOW)).bound == "none"
    assert JointDifference(0.0, math.inf).bound == "both"


def test_middle_ends_and_width() -> None:
    alone = JointDifference(0.0, math.inf, (ABOVE,))
    assert alone.middle == pytest.approx(ABOVE.middle)
    assert alone.narrowest == pytest.approx(ABOVE.narrowest)
    assert alone.ends == pytest.approx((ABOVE.middle - ABOVE.reach, ABOVE.middle + ABOVE.reach))
    both = JointDifference(0.8, 0.3, (ABOVE,))
    assert both.narrowest < alone.narrowest
    assert 0.8 < both.middle < ABOVE.middle
