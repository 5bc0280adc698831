import numpy as np
import pytest

from builder.fit.facemodel import Validation, fit_face_model, leave_wearers_out
from tests.fit.facemodel.simulation import World, simulate

TABLE = simulate(World(wearers=12, masks=8, configurations=24, tests=200, ceiling=800.0), 3)


@pytest.fixture(scope="module")
def validation() -> Validation:
    return leave_wearers_out(fit_face_model(TABLE), TABLE, 4)


def test_each_row_predicts_the_same_tests(validation: Validation) -> None:
    checks = validation.own_results
    assert [check.told for check in checks] == [0, 1, 2, 3]
    assert len({(check.tests, check.wearers, check.lists) for check in checks}) == 1
    assert checks[0].wearers <= 12


def test_own_results_sharpen_both_predictions(validation: Validation) -> None:
    first, last = validation.own_results[0], validation.own_results[-1]
    assert last.model.log_score > first.model.log_score
    assert last.shifted_mean.log_score > first.shifted_mean.log_score
    assert last.model.log_score > last.shifted_mean.log_score


def test_intervals_and_lists_hold(validation: Validation) -> None:
    for check in validation.own_results:
        assert 0.8 < check.coverage <= 1
        assert 0 <= check.came_true <= 1
        assert 0.5 < check.claimed <= 1


def test_it_is_the_same_each_time(validation: Validation) -> None:
    again = leave_wearers_out(fit_face_model(TABLE), TABLE, 4)
    assert again.own_results == validation.own_results


def test_with_three_configurations_each_there_is_nothing_to_predict() -> None:
    few = TABLE[TABLE["configuration"].isin(np.unique(TABLE["configuration"])[:3])]
    assert leave_wearers_out(fit_face_model(few), few, 4).own_results == ()
