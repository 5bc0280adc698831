"""The face model predicts the invented benches as well as it says, and is left unused where it does not."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from builder.demo import MASKS, TESTS, WEARERS
from builder.demo.scenario import generate
from builder.findings import forecast as module
from builder.findings.dataset import Dataset, build_dataset
from builder.findings.forecast import FOLDS, NoModel, forecast
from builder.findings.kept_check import as_bytes
from builder.fit.facemodel import Validation, fit_face_model
from builder.records.pieces import Pieces
from builder.records.toml_text import to_toml
from builder.records.writing_files import write_files
from tests.fit.facemodel.simulation import World, invent


@pytest.fixture(scope="module")
def benches(demo: Dataset, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Validation]:
    """How the model did on the committed entries and on three more benches."""
    found = {"demo": demo.validation}
    for seed in (1, 2, 3):
        folder = tmp_path_factory.mktemp(f"bench-{seed}")
        write_files(folder, {path: to_toml(record) for path, record in generate(TESTS, WEARERS, MASKS, seed, None)})
        found[str(seed)] = build_dataset(folder).validation
    return {name: validation for name, validation in found.items() if validation is not None}


def test_intervals_hold_what_they_say(benches: dict[str, Validation]) -> None:
    assert len(benches) == 4
    for name, validation in benches.items():
        assert 0.85 <= validation.coverage <= 0.95, name
        assert validation.folds == FOLDS


def test_chances_are_nearer_the_truth_than_simpler_predictions(benches: dict[str, Validation]) -> None:
    # A single bench of 420 tests can go either way against the means of configurations (seed 1 does): four together.
    def brier(kind: str) -> float:
        return float(np.average([getattr(v, kind).brier for v in benches.values()]))

    assert brier("model") < brier("configuration_mean") - 0.01
    assert brier("model") < brier("overall_share") - 0.05
    assert benches["demo"].beats_baselines


def test_most_often_the_right_chance_is_claimed(benches: dict[str, Validation]) -> None:
    tests = pd.concat([v.tests for v in benches.values()]).dropna(subset=["passed"])
    tests = tests.assign(passed=tests["passed"].astype(float), third=pd.cut(tests["chance"], [0, 1 / 3, 2 / 3, 1]))
    means = tests.groupby("third", observed=True)[["chance", "passed"]].mean()
    assert (means["chance"] - means["passed"]).abs().max() < 0.1


def test_population_shares_are_inside_their_intervals() -> None:
    held = []
    for seed in range(8):
        invented = invent(World(), seed)
        found = fit_face_model(invented.table).population().set_index("configuration")
        truth = invented.passing[found.index]
        held.append(((found["low"] <= truth) & (truth <= found["high"])).mean())
    assert np.mean(held) >= 0.85


def test_a_model_no_better_than_means_is_not_used(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    assert demo.validation is not None
    by_mean = demo.validation.tests["by_mean"]
    worse = replace(demo.validation, tests=demo.validation.tests.assign(chance=0.5 + 0.4 * (0.5 - by_mean)))
    monkeypatch.setattr(module, "leave_wearers_out", lambda *_, **__: worse)
    monkeypatch.setattr(module, "_made", {})
    found = forecast(demo.table)
    assert found.model is None
    assert found.validation is worse
    assert found.no_model == NoModel("no-better")


def test_few_wearers_are_too_few(demo: Dataset) -> None:
    few = sorted(demo.counted["wearer"].unique())[:7]
    found = forecast(demo.table[demo.table["wearer"].isin(few)])
    assert (found.model, found.validation) == (None, None)
    assert found.no_model == NoModel("few-wearers", 7, 8)


def test_the_same_tests_are_fitted_once(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_made", {})
    monkeypatch.setattr(
        module, "_forecast", lambda table, *_: module.Forecast(None, None, NoModel("few-wearers", len(table)))
    )
    first = forecast(demo.table)
    assert forecast(demo.table.copy()) is first
    assert forecast(demo.table.assign(fit_factor=demo.table["fit_factor"] * 2)) is not first


def test_what_the_model_does_not_read_makes_no_new_check(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    pieces = Pieces()
    monkeypatch.setattr(module, "leave_wearers_out", lambda *_, **__: demo.validation)
    monkeypatch.setattr(module, "_made", {})
    forecast(demo.table, pieces=pieces)
    monkeypatch.setattr(module, "leave_wearers_out", lambda *_, **__: pytest.fail("checked again"))
    monkeypatch.setattr(module, "_made", {})
    again = forecast(demo.table.assign(notes="other", comfort=1.0), pieces=pieces)
    assert demo.validation is not None and again.validation is not None
    assert as_bytes(again.validation) == as_bytes(demo.validation)
    with pytest.raises(pytest.fail.Exception, match="checked again"):
        forecast(demo.table.assign(nose_bridge="high"), pieces=pieces)


def test_in_haste_an_older_check_stands_in(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    validation = demo.validation
    monkeypatch.setattr(module, "leave_wearers_out", lambda *_, **__: validation)
    monkeypatch.setattr(module, "_made", {})
    changed = demo.table.assign(fit_factor=demo.table["fit_factor"] * 2)
    checked = forecast(demo.table, hasty=True)
    assert (checked.validation, checked.check_is_older) == (validation, False), "there was none to stand in"
    assert forecast(demo.table, hasty=True) is checked
    hasty = forecast(changed, hasty=True)
    assert (hasty.validation, hasty.no_model, hasty.check_is_older) == (validation, None, True)
    assert hasty.model is not None and checked.model is not None
    assert hasty.model.population()["chance"].mean() > checked.model.population()["chance"].mean()
    assert forecast(changed).check_is_older is False, "what was said in haste is not kept"
    wearer = str(demo.table["wearer"].iloc[0])
    assert forecast(demo.table[demo.table["wearer"] == wearer], hasty=True).no_model == NoModel("few-wearers", 1, 8)


def test_in_haste_what_was_not_used_is_not_used(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    few = demo.table[demo.table["wearer"] == str(demo.table["wearer"].iloc[0])]
    monkeypatch.setattr(module, "_made", {})
    unused = forecast(few)
    assert forecast(demo.table, hasty=True) == replace(unused, check_is_older=True)


def test_without_tests(tmp_path: Path) -> None:
    (tmp_path / "entries").mkdir()
    data = build_dataset(tmp_path / "entries")
    assert data.model is None
    assert data.no_model == NoModel("few-wearers", 0, 8)
