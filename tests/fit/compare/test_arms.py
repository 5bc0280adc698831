"""Arms: what a wearer's tests of one configuration come to, and differences between arms."""

import numpy as np
import pytest

from builder.fit.compare.arms import arm_statistics, arms_with_slots
from tests.fit.tables import SLOTS, scatter_of_all, tidy

SCATTER = scatter_of_all(0.2, arm_df=4.0)
TABLE = tidy(
    [("m", "ann", 10), ("m", "ann", 40), ("m", "bob", 7), ("m+edge-tape", "ann", 200), ("m", "bob", 9999)],
    at_least=[3],
    set_aside=[4],
)


def test_rows_of_the_table() -> None:
    arms = arm_statistics(TABLE, SCATTER)
    assert arms[["configuration", "wearer", "n", "df", "any_at_least"]].to_numpy().tolist() == [
        ["m", "ann", 2, 1, False],
        ["m", "bob", 1, 0, False],
        ["m+edge-tape", "ann", 1, 0, True],
    ]
    assert np.exp(arms["mean"]).tolist() == pytest.approx([20, 7, 200])
    own = np.log(4) ** 2 / 2
    assert arms["variance"].tolist() == pytest.approx([own, 0, 0])
    assert arms["moderated"].tolist() == pytest.approx([(0.8 + own) / 5, 0.2, 0.2])


def test_slots_stand_beside() -> None:
    arms = arms_with_slots(TABLE, SCATTER, SLOTS)
    assert arms[["mask", *SLOTS]].to_numpy().tolist() == 2 * [["m", "", "", "", ""]] + [["m", "", "", "", "edge-tape"]]
    plain = arm_statistics(TABLE, SCATTER)
    assert arms[plain.columns].equals(plain)


def test_a_slot_that_is_left_out_is_not_overlooked() -> None:
    table = tidy([("m", "ann", 20), ("m+straps-a", "ann", 40), ("m+straps-a+edge-tape", "ann", 90)])
    with pytest.raises(ValueError) as told:
        arms_with_slots(table, SCATTER, ["straps", "nose_wire"])
    assert str(told.value) == "m+straps-a and m+straps-a+edge-tape are alike in every slot given: straps, nose_wire"
    with pytest.raises(ValueError) as told:
        arms_with_slots(table, SCATTER, [])
    assert str(told.value) == "m and m+straps-a are alike in every slot given: none"
    assert arms_with_slots(table.iloc[:0], SCATTER, []).empty
