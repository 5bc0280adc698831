"""A wearer's configurations brought to one method."""

import numpy as np
import pandas as pd
import pytest

from builder.fit.compare.aligned_arms import AlignedArms
from builder.fit.compare.measured_arms import arm_parts
from tests.fit.tables import SLOTS, measured, scatter_of_all, tidy


def aligned(table: pd.DataFrame) -> AlignedArms:
    return AlignedArms.of(arm_parts(table, SLOTS), measured(table, scatter_of_all(0.2)))


def test_one_method_is_left_as_it_is() -> None:
    found = aligned(tidy([("m", "ann", 10), ("m", "ann", 40), ("m+edge-tape", "ann", 70)]))
    assert (found.left_out, found.moved) == ((), ())
    assert np.exp(found.rows["mean"]).tolist() == pytest.approx([20, 70])
    assert found.error == pytest.approx(np.diag([0.1, 0.2]))
    assert found.donnings.tolist() == pytest.approx([0.1, 0.2])


def test_the_method_of_most_configurations_is_the_common_one() -> None:
    table = tidy([("m", "ann", 10), ("m", "ann", 40), ("m+edge-tape", "ann", 70), ("m+straps-a", "ann", 90)])
    table.loc[[1, 3], "instrument"] = "optical-counter"
    table.loc[3, "protocol"] = "one-exercise"
    found = aligned(table)
    # As sold was read by it too; the optical reading of it stays out.
    assert np.exp(found.rows["mean"]).tolist()[:2] == pytest.approx([10, 70])
    assert found.moved == ("m+straps-a",)
    assert found.error[2, 2] > 0.2 + 0.3**2
    assert found.error[:2] == pytest.approx(np.diag([0.2] * 3)[:2])


def test_arms_of_another_method_share_its_error() -> None:
    table = tidy([("m", "ann", 10), ("m+edge-tape", "ann", 70), ("m+straps-a", "ann", 90), ("m+nose_wire-b", "ann", 9)])
    table.loc[2:3, "instrument"] = "optical-counter"
    found = aligned(table)
    assert found.moved == ("m+nose_wire-b", "m+straps-a")
    shared = found.error[2, 3]
    assert shared > 0.5**2
    # What they say of each other holds their donnings alone.
    assert found.error[2, 2] + found.error[3, 3] - 2 * shared == pytest.approx(0.4)


def test_limits_are_left_out() -> None:
    table = tidy([("m", "ann", 10), ("m+edge-tape", "ann", 200)], at_least=[1])
    found = aligned(table)
    assert (found.left_out, found.rows["configuration"].tolist()) == (("m+edge-tape",), ["m"])
    with pytest.raises(ValueError, match="every configuration holds an at-least reading"):
        aligned(table.iloc[1:])
