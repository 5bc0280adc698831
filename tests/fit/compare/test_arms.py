"""Arms: what a wearer's tests of one configuration come to, and differences between arms."""

import numpy as np
import pytest

from builder.fit.compare.arms import Arm, arm_statistics, difference
from tests.fit.tables import scatter_of_all, tidy

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


def test_columns_and_values_make_the_same_arm() -> None:
    from_rows = Arm.columns(arm_statistics(TABLE, SCATTER).iloc[[0]])
    from_values = Arm.of(np.log([10, 40]))
    for field in vars(from_values):
        assert getattr(from_rows, field).tolist() == pytest.approx(getattr(from_values, field).tolist())


def test_difference_by_hand() -> None:
    found = difference(Arm.of([1.0, 2.0]), Arm.of([3.0, 3.6, 3.9]), SCATTER, ["ann"])
    a, b = (4 * 0.2 + 0.5) / 5 / 2, (4 * 0.2 + 2 * np.var([3.0, 3.6, 3.9], ddof=1)) / 6 / 3
    assert found.estimate[0] == pytest.approx(2.0)
    assert found.variance[0] == pytest.approx(a + b)
    assert found.moderated[0] == pytest.approx((a + b) / (1 / 2 + 1 / 3))
    assert found.df[0] == pytest.approx((a + b) ** 2 / (a**2 / 5 + b**2 / 6))
    assert found.bound[0] == "none"


def test_a_limit_brings_no_variance_of_its_own() -> None:
    found = difference(Arm.of([1.0, 2.0]), Arm.of([3.0, 9.0, 5.0], [False, True, False]), SCATTER, ["ann"])
    assert found.variance[0] == pytest.approx((4 * 0.2 + 0.5) / 5 / 2 + 0.2 / 3)
    assert found.bound[0] == "at_least"


@pytest.mark.parametrize(
    ("a", "b", "bound"),
    [(False, False, "none"), (True, False, "at_most"), (False, True, "at_least"), (True, True, "both")],
)
def test_bounds(a: bool, b: bool, bound: str) -> None:
    assert difference(Arm.of([1.0], [a]), Arm.of([2.0], [b]), SCATTER, ["ann"]).bound[0] == bound
