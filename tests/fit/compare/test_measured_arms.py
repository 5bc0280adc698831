"""Arms by method, and the parts that they have."""

import numpy as np
import pytest

from builder.fit.compare.measured_arms import arm_parts
from tests.fit.tables import SLOTS, measured, scatter_of_all, tidy

TABLE = tidy(
    [("m", "ann", 10), ("m", "ann", 40), ("m", "bob", 7), ("m+edge-tape", "ann", 200), ("m", "bob", 9999)],
    at_least=[3],
    set_aside=[4],
)


def test_slots_stand_beside() -> None:
    places = arm_parts(TABLE, SLOTS)
    assert places[["configuration", "wearer", "facial_hair"]].to_numpy().tolist() == [
        ["m", "ann", "none"],
        ["m", "bob", "none"],
        ["m+edge-tape", "ann", "none"],
    ]
    assert places[["mask", *SLOTS]].to_numpy().tolist() == 2 * [["m", "", "", "", ""]] + [
        ["m", "", "", "", "edge-tape"]
    ]


def test_a_slot_that_is_left_out_is_not_overlooked() -> None:
    table = tidy([("m", "ann", 20), ("m+straps-a", "ann", 40), ("m+straps-a+edge-tape", "ann", 90)])
    with pytest.raises(ValueError) as told:
        arm_parts(table, ["straps", "nose_wire"])
    assert str(told.value) == "m+straps-a and m+straps-a+edge-tape are alike in every slot given: straps, nose_wire"
    with pytest.raises(ValueError) as told:
        arm_parts(table, [])
    assert str(told.value) == "m and m+straps-a are alike in every slot given: none"
    assert arm_parts(table.iloc[:0], []).empty


def test_readings_by_method() -> None:
    table = TABLE.copy()
    table.loc[1, "protocol"] = "one-exercise"
    arms = measured(table, scatter_of_all(0.2))
    eight, one = arms.readings["m", "ann", "none"]
    assert [arm.method.protocol for arm in (eight, one)] == ["eight-exercise", "one-exercise"]
    assert (eight.readings.n, eight.df) == (1, 0)
    assert eight.readings.variance == pytest.approx(0.2)
    assert (eight.readings.mean, one.readings.mean) == pytest.approx((np.log(10), np.log(40)))
    (limited,) = arms.readings["m+edge-tape", "ann", "none"]
    assert not limited.exact
    assert limited.readings.limits == pytest.approx((np.log(200),))
    (repeats,) = measured(TABLE, scatter_of_all(0.2)).readings["m", "ann", "none"]
    assert (repeats.readings.n, repeats.df) == (2, 1)
    assert repeats.readings.mean == pytest.approx(np.log(20))
    assert set(arms.readings) == {("m", "ann", "none"), ("m", "bob", "none"), ("m+edge-tape", "ann", "none")}
