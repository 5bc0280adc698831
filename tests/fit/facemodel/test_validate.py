from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np
import pandas as pd
import pytest

from builder.fit.facemodel import Validation, fit_face_model, leave_wearers_out, validate
from tests.fit.facemodel.simulation import World, simulate

T = TypeVar("T")

TABLE = simulate(World(wearers=10, masks=8, configurations=20, tests=160, ceiling=500.0), 3)


def checked(table: pd.DataFrame, folds: int | None = None) -> Validation:
    return leave_wearers_out(fit_face_model(table), table, folds)


@pytest.fixture(scope="module")
def validation() -> Validation:
    return checked(TABLE)


def test_every_test_is_predicted_by_others(validation: Validation) -> None:
    assert validation.folds == 10
    assert sorted(validation.tests["test"]) == sorted(TABLE["test"])
    assert validation.tests["chance"].between(0, 1).all()


def test_folds_run_in_any_way_give_the_same(validation: Validation) -> None:
    def backwards(tasks: Sequence[Callable[[], T]]) -> list[T]:
        return [task() for task in reversed(tasks)][::-1]

    again = leave_wearers_out(fit_face_model(TABLE), TABLE, run=backwards)
    pd.testing.assert_frame_equal(again.tests, validation.tests)
    assert (again.first_three, again.own_results) == (validation.first_three, validation.own_results)


def test_the_model_beats_the_overall_share(validation: Validation) -> None:
    assert validation.model.brier < validation.overall_share.brier
    assert validation.model.log_score > validation.overall_share.log_score
    assert 0.8 < validation.coverage < 0.99


def test_scores_by_hand(validation: Validation) -> None:
    tests = validation.tests
    passed = tests["passed"].to_numpy(float)
    assert validation.model.brier == pytest.approx(np.mean((tests["chance"] - passed) ** 2))
    assert validation.overall_share.log_score == pytest.approx(
        np.mean(np.log(np.where(passed == 1, tests["by_share"], 1 - tests["by_share"])))
    )


def test_reliability_holds_every_test_once(validation: Validation) -> None:
    bins = validation.reliability
    assert bins["n"].sum() == len(TABLE)
    assert ((bins["bin_low"] <= bins["predicted"]) & (bins["predicted"] <= bins["bin_high"])).all()
    average = (bins["came_true"] * bins["n"]).sum() / bins["n"].sum()
    assert average == pytest.approx(validation.tests["passed"].astype(float).mean())


def test_lists_of_three(validation: Validation) -> None:
    found = validation.first_three
    assert found.wearers == 10
    assert 0 < found.claimed < 1
    assert 0 <= found.came_true <= 1


def test_lists_of_three_by_means() -> None:
    """The three that did best on others, of all that a wearer tried: whether the first donning of any passed."""
    found = checked(simulate(World(wearers=10, masks=8, configurations=20, tests=160, ceiling=500.0), 6), folds=2)
    share = {}
    for length in (2, 3):
        best = []
        for _, own in found.tests.groupby("wearer", sort=False):
            first = own[own["passed"].notna()].drop_duplicates("configuration")
            top = first["by_mean"].sort_values(ascending=False, kind="stable").index[:length]
            best.append(first.loc[top, "passed"].any())
        share[length] = np.mean(best)
    assert found.first_three.by_mean == pytest.approx(share[3]) != share[2]


def test_held_at_least_readings_below_the_level_are_left_out() -> None:
    table = TABLE.copy()
    low = table.index[table["fit_factor"] > 60][:8]
    table.loc[low, "fit_factor"] = 60.0
    table.loc[low, "at_least"] = True
    found = checked(table, folds=3)
    assert found.folds == 3
    tests = found.tests.set_index("test")
    assert tests.loc[table.loc[low, "test"], "passed"].isna().all()
    assert tests["passed"].isna().sum() == 8
    assert found.reliability["n"].sum() == len(table) - 8


def test_predictions_know_nothing_of_the_wearer_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever a wearer measured, their prediction stays; only the warm start may move it a little.

    But for the weight of masks being alike: it is one number, learnt from how well the others are predicted.
    """
    monkeypatch.setattr(validate, "_alike_weight", lambda parts: 0.0)
    validation = checked(TABLE)
    table = TABLE.copy()
    ours = table["wearer"] == "wearer-0002"
    table.loc[ours, "fit_factor"] = table.loc[ours, "fit_factor"] / 50
    before = validation.tests.set_index("test")["chance"]
    after = checked(table).tests.set_index("test")["chance"]
    names = table.loc[ours, "test"]
    assert after[names].to_numpy() == pytest.approx(before[names].to_numpy(), abs=0.01)
    others = table.loc[~ours, "test"]
    assert np.abs(after[others] - before[others]).max() > 0.02


def test_same_table_same_answer() -> None:
    one, other = checked(TABLE, folds=2), checked(TABLE, folds=2)
    pd.testing.assert_frame_equal(one.tests, other.tests)


def test_few_configurations_and_no_repeats() -> None:
    """One test each of two configurations: nobody has a list of three, and no scatter within a configuration's cell."""
    table = simulate(World(wearers=8, masks=2, configurations=2, tests=40), 1)
    table = table.drop_duplicates(["wearer", "configuration"])
    found = checked(table)
    assert found.first_three.wearers == 0
    assert np.isnan(found.first_three.claimed)
    assert np.isfinite(found.model.log_score)
    alone = table.assign(configuration=table["configuration"] + "+" + table["wearer"], parts=table["wearer"])
    assert np.isfinite(checked(alone).configuration_mean.log_score)


def with_chances(validation: Validation, ahead: list[float]) -> Validation:
    """Ten wearers, one test each, all passed; log scores of the model ahead of those of the means by so much."""
    tests = pd.DataFrame({"wearer": [f"w{i}" for i in range(len(ahead))], "by_mean": 0.5, "by_share": 0.01})
    tests = tests.assign(chance=0.5 * np.exp(ahead), passed=pd.array([True] * len(ahead), dtype="boolean"))
    return replace(validation, tests=tests)


def test_the_model_is_behind_by_more_than_one_standard_error(validation: Validation) -> None:
    assert not with_chances(validation, [0.1] * 9 + [-0.8]).behind
    spread = np.array([0.3, -0.5] * 5)
    error = np.std(spread, ddof=1) / np.sqrt(10)
    centred = spread - spread.mean()
    assert not with_chances(validation, (centred - 0.99 * error).tolist()).behind
    assert with_chances(validation, (centred - 1.01 * error).tolist()).behind


def test_tests_of_one_wearer_are_one_opinion(validation: Validation) -> None:
    found = with_chances(validation, [-0.2] * 6 + [0.1] * 4)
    assert found.behind
    one = found.tests.assign(wearer=["w0"] * 6 + ["w1", "w2", "w3", "w4"])
    assert not replace(found, tests=one).behind


def test_masks_all_alike_get_weight_where_they_are() -> None:
    world = World(wearers=12, masks=8, configurations=20, tests=160)
    differing, alike = (checked(simulate(replace(world, masks_alike=same), 5), folds=6) for same in (False, True))
    assert differing.alike_weight < 0.3
    assert 0.5 < alike.alike_weight <= 1
    # What a list of three claims comes down to what comes true.
    assert alike.first_three.claimed - alike.first_three.came_true < 0.2


def test_tests_are_predicted_for_the_method_that_they_were_measured_by() -> None:
    world = World(wearers=16, masks=6, configurations=12, tests=240)
    table = simulate(world, 7)
    half = table["wearer"].isin(sorted(table["wearer"].unique())[::2])
    one = table.copy()
    one.loc[half, "instrument"] = "optical-counter"
    one.loc[half, "fit_factor"] *= 4
    told, untold = checked(one, folds=8), checked(one.assign(instrument="optical-counter"), folds=8)
    assert told.model.log_score > untold.model.log_score + 0.02
