"""Published figures that move are found, and nothing is computed where none can have."""

from __future__ import annotations

import pandas as pd
import pytest

from builder.findings.dataset import Dataset
from builder.fit.facemodel import fit_face_model
from builder.fit.summary.summaries import summarise
from builder.review import moves as module
from builder.review.moves import ConfigurationMedian, Moves, list_moves, median_moves, moves, verdict_moves
from builder.words.comparisons import verdict_words


def changed(data: Dataset, table: pd.DataFrame) -> Dataset:
    """The same entries with another table."""
    return Dataset(data.root, data.entries, (), table, summarise(table))


def most_tested(data: Dataset) -> str:
    return max(data.summary_by_id, key=lambda configuration: int(data.summary_by_id[configuration]["tests"]))


def multiplied(data: Dataset, configuration: str, factor: float) -> Dataset:
    """The same with every exact reading of one configuration multiplied."""
    exact = (data.table["configuration"] == configuration) & ~data.table["at_least"]
    fit_factor = data.table["fit_factor"].where(~exact, data.table["fit_factor"] * factor)
    return changed(data, data.table.assign(fit_factor=fit_factor))


def test_a_median_moves_with_its_tests(demo: Dataset) -> None:
    configuration = most_tested(demo)
    row = demo.summary_by_id[configuration]
    new = multiplied(demo, configuration, 3.0)
    (move,) = median_moves(demo, new)
    assert move.configuration == configuration
    assert move.before == ConfigurationMedian(
        row["median_fit_factor"], row["median_at_least"], row["tests"], row["wearers"]
    )
    assert move.after and move.after.fit_factor == new.summary_by_id[configuration]["median_fit_factor"]
    assert move.after.fit_factor == pytest.approx(3 * row["median_fit_factor"])


def test_what_prints_the_same_is_no_move(demo: Dataset) -> None:
    configuration = most_tested(demo)
    assert median_moves(demo, multiplied(demo, configuration, 1.000001)) == ()


def test_another_test_shows_though_the_median_stays(demo: Dataset) -> None:
    row = demo.table[demo.table["counted"]].iloc[[0]]
    new = changed(demo, pd.concat([demo.table, row.assign(test=row["test"] + "0")], ignore_index=True))
    (move,) = median_moves(demo, new)
    assert move.before and move.after
    assert move.after.tests == move.before.tests + 1


def test_configurations_come_and_go(demo: Dataset) -> None:
    configuration = str(demo.counted["configuration"].iloc[0])
    without = changed(demo, demo.table[demo.table["configuration"] != configuration].reset_index(drop=True))
    (gone,) = median_moves(demo, without)
    (new,) = median_moves(without, demo)
    assert (gone.configuration, gone.after) == (configuration, None)
    assert (new.before, new.after) == (None, gone.before)


def test_a_verdict_moves_when_its_readings_do(demo: Dataset) -> None:
    rungs = [rung for rungs in demo.ladders.values() for rung in rungs]
    rung = max(rungs, key=lambda rung: len(rung.comparison.wearers))
    new = multiplied(demo, rung.configuration, 1 / 50)
    found = {move.configuration: move for move in verdict_moves(demo, new)}
    move = found[rung.configuration]
    assert move.before and move.before.words == verdict_words(rung.comparison)
    assert move.after and move.after.words == "clearly lower"
    assert move.after.ratio is not None and move.before.ratio is not None
    assert verdict_moves(demo, demo) == ()


def test_lists_of_what_to_try_first_move_when_the_best_gets_worse(demo: Dataset) -> None:
    assert demo.model is not None
    assert list_moves(demo.model, demo.model) == ()
    best = module._first(demo.model, "")[0]
    worse = fit_face_model(multiplied(demo, best, 1 / 50).table)
    found = {move.cell: move for move in list_moves(demo.model, worse)}
    assert found[""].before[0] == best
    assert best not in found[""].after
    assert all(len(move.after) == 3 for move in found.values())


def test_the_model_is_checked_on_the_entries_afterwards_alone(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    assert demo.model is not None
    before = multiplied(demo, module._first(demo.model, "")[0], 1 / 50)
    monkeypatch.setattr("builder.findings.forecast.forecast", lambda *_, **__: pytest.fail("another state was checked"))
    found = moves(before, demo)
    assert found.lists
    assert found.no_model == ""


def test_a_remark_moves_no_figure_and_fits_no_model(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("builder.findings.forecast.forecast", lambda *_, **__: pytest.fail("the model was fitted"))
    other = demo.table.assign(notes="Another word.", comfort=1.0)
    assert moves(changed(demo, demo.table), changed(demo, other)) == Moves()


def test_without_the_model_it_says_why_there_are_no_lists(demo: Dataset) -> None:
    few = changed(
        demo, demo.table[demo.table["wearer"].isin(sorted(set(demo.table["wearer"]))[:3])].reset_index(drop=True)
    )
    for old, new, when in ((few, demo, "Before"), (demo, few, "After")):
        found = moves(old, new)
        assert found.lists == ()
        assert found.no_model.startswith(f"{when}: Chances on a new face need tests")
        assert found.medians
