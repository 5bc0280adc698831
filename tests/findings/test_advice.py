"""What to try first: the model's own figures, or summaries with a reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.findings.advice import GOALS, advise, advise_wearer, chances_by_mask, plausible_mm
from builder.findings.dataset import Dataset, build_dataset, rows_of
from builder.findings.untried import next_tests
from builder.fit.facemodel import FaceDescription
from builder.fit.facemodel.design import faces_of
from builder.fit.summary.summaries import summarise
from builder.words.predictions import why_sentence


@pytest.fixture(scope="module")
def few(demo: Dataset) -> Dataset:
    """The committed entries with the tests of seven wearers only."""
    some = sorted(demo.counted["wearer"].unique())[:7]
    table = demo.table[demo.table["wearer"].isin(some)].reset_index(drop=True)
    return Dataset(demo.root, demo.entries, demo.problems, table, summarise(table))


@pytest.mark.parametrize(
    "face",
    [
        FaceDescription(117, 138, "4", "high"),
        FaceDescription(cell="9"),
        FaceDescription(nose_bridge="low"),
        FaceDescription(),
    ],
)
def test_the_list_is_the_models(demo: Dataset, face: FaceDescription) -> None:
    advice = advise(demo, face)
    assert demo.model is not None
    predicted = {row["configuration"]: row for row in rows_of(demo.model.predict(face))}
    assert advice.basis == "model"
    assert {row.configuration: row.chance for row in advice.ranked} == {c: r["chance"] for c, r in predicted.items()}
    limits = [row.low for row in advice.ranked]
    assert limits == sorted(limits, reverse=True)  # type: ignore[type-var]
    assert [c.cumulative_chance for c in advice.try_first] == [
        s.cumulative_chance for s in demo.model.try_first(face, 3)
    ]
    for row in advice.ranked:
        assert row.chance is not None and row.low is not None and row.high is not None
        assert 0 <= row.low <= row.chance <= row.high <= 1
        assert row.little_known == (row.high - row.low > 0.5)
        assert row.wearers == demo.summary_by_id[row.configuration]["wearers"]


def test_any_face_is_the_panels_population(demo: Dataset) -> None:
    assert demo.model is not None
    population = {row["configuration"]: row for row in rows_of(demo.model.population())}
    for row in advise(demo, FaceDescription()).ranked:
        assert row.chance == pytest.approx(population[row.configuration]["chance"], abs=0.01)
        assert (row.low, row.high) == tuple(population[row.configuration][end] for end in ("low", "high"))
        assert row.near_wearers is None


@pytest.mark.parametrize("face", [FaceDescription(117, 138, "4", "high"), FaceDescription(cell="9"), FaceDescription()])
def test_masks_as_sold_keep_the_chances_they_have_among_all(demo: Dataset, few: Dataset, face: FaceDescription) -> None:
    everything, sold = advise(demo, face), advise(demo, face, as_sold=True)
    kept = [row for row in everything.ranked if "+" not in row.configuration]
    assert [row.configuration for row in sold.ranked] == [row.configuration for row in kept]
    for one, other in zip(sold.ranked, kept, strict=True):
        for name in ("chance", "low", "high", "fit_factor"):
            assert getattr(one, name) == pytest.approx(getattr(other, name), rel=1e-9)
    assert len(sold.try_first) == 3
    assert not any("+" in choice.configuration for choice in sold.try_first)
    assert (sold.best_as_sold, sold.best_changed) == (everything.best_as_sold, everything.best_changed)
    assert sold.best_as_sold in sold.ranked
    assert sold.best_changed is not None and "+" in sold.best_changed.configuration
    assert {sold.best_as_sold, sold.best_changed} >= {everything.ranked[0]}
    assert not any("+" in row.configuration for row in advise(few, face, as_sold=True).ranked)


def test_where_no_mask_was_tested_as_sold_there_is_nothing_to_suggest(demo: Dataset) -> None:
    changed = demo.table[demo.table["parts"] != ""].reset_index(drop=True)
    advice = advise(
        Dataset(demo.root, demo.entries, demo.problems, changed, summarise(changed)), FaceDescription(), as_sold=True
    )
    assert (advice.try_first, advice.ranked) == ((), ())


def test_outside_the_panel_nothing_is_predicted(demo: Dataset) -> None:
    outside, anyone = advise(demo, FaceDescription(130.0, 122.0)), advise(demo, FaceDescription())
    assert outside.ranked == anyone.ranked
    assert outside.try_first == anyone.try_first
    why = why_sentence(demo, outside)
    assert why.startswith("The panel has no cell for such a face, so nothing is predicted for it")
    assert why.endswith(why_sentence(demo, anyone))
    sold = advise(demo, FaceDescription(130.0, 122.0), as_sold=True)
    assert (why_sentence(demo, sold), sold.try_first) == (why, advise(demo, FaceDescription(), as_sold=True).try_first)


def test_a_known_wearer_gets_a_list_of_their_own(demo: Dataset) -> None:
    assert demo.model is not None
    wearer = str(demo.counted["wearer"].value_counts().index[0])
    advice = advise_wearer(demo, wearer)
    anyone_like_that = advise(demo, faces_of(demo.counted)[wearer])
    assert advice.ranked != anyone_like_that.ranked
    assert why_sentence(demo, advice).startswith(f"Given what {wearer} has tested.")
    for as_sold in (True, False):
        rows = next_tests(demo, wearer, as_sold=as_sold)
        assert tuple(rows) == GOALS
        for goal in GOALS:
            names = {row["configuration"] for row in rows[goal]}
            assert len(names) == 3
            assert not names & set(demo.counted.loc[demo.counted["wearer"] == wearer, "configuration"])
    with pytest.raises(KeyError):
        advise_wearer(demo, "nobody")


def test_a_wearers_masks_as_sold_keep_their_chances(demo: Dataset) -> None:
    wearer = str(demo.counted["wearer"].value_counts().index[0])
    everything, sold = advise_wearer(demo, wearer), advise_wearer(demo, wearer, as_sold=True)
    assert sold.ranked == tuple(row for row in everything.ranked if "+" not in row.configuration)
    assert not any("+" in choice.configuration for choice in sold.try_first)
    chances = {row.configuration: row.chance for row in everything.ranked}
    for choice in sold.try_first:
        assert choice.chance == pytest.approx(chances[choice.configuration])
    assert sold.try_first[0].chance == pytest.approx(max(row.chance or 0.0 for row in sold.ranked))


@pytest.mark.parametrize(("length", "width"), [(95.0, 140.0), (118.0, 120.4)])
def test_a_face_below_the_panel_gets_no_list(demo: Dataset, length: float, width: float) -> None:
    for as_sold in (True, False):
        advice = advise(demo, FaceDescription(length, width), as_sold=as_sold)
        assert (advice.basis, advice.try_first, advice.ranked) == ("none", (), ())
        assert (advice.best_as_sold, advice.best_changed) == (None, None)
    assert why_sentence(demo, advise(demo, FaceDescription(95, 140))) == (
        "95 × 140 mm: smaller than any face of the panel, which begins at a length of 98.5 mm and a width of 120.5 mm. "
        "No list is given for it: the masks here were made for adults and tested on them, and masks for children are "
        "another matter. Measure again; if it is right, ask a clinician and a competent fit tester."
    )


def test_with_few_wearers_it_ranks_by_what_was_measured_near_this_face(few: Dataset) -> None:
    wearer, face = next(iter(faces_of(few.counted).items()))
    advice = advise(few, face)
    assert advice.basis == "summaries"
    assert why_sentence(few, advice).startswith("Chances on a new face need tests by at least 8 wearers; 7 so far.")
    assert "wearers within 10 mm of this face" in why_sentence(few, advice)
    by_cell = advise(few, FaceDescription(cell=face.cell))
    assert "wearers within 10 mm of the middle of this cell" in why_sentence(few, by_cell)
    assert all((row.chance, row.low, row.high) == (None, None, None) for row in advice.ranked)
    assert [c.configuration for c in advice.try_first] == [row.configuration for row in advice.ranked[:3]]
    own = set(few.counted.loc[few.counted["wearer"] == wearer, "configuration"])
    assert own <= {row.configuration for row in advice.ranked}
    assert all(row.near_wearers for row in advice.ranked)


def test_with_nobody_near_it_ranks_by_all(few: Dataset) -> None:
    advice = advise(few, FaceDescription())
    assert "ranked by what all wearers measured" in why_sentence(few, advice)
    assert {row.configuration for row in advice.ranked} == set(few.counted["configuration"])
    by_id = few.summary_by_id
    lows = [by_id[row.configuration]["share_at_100_low"] for row in advice.ranked if row.share_wearers]
    assert lows == sorted(lows, reverse=True)


def test_without_tests_there_is_nothing_to_suggest(tmp_path: Path) -> None:
    advice = advise(build_dataset(tmp_path), FaceDescription(cell="4"))
    assert (advice.basis, advice.try_first, advice.ranked) == ("summaries", (), ())


def test_masks_have_the_rows_of_any_face(demo: Dataset, few: Dataset) -> None:
    by_mask = chances_by_mask(demo)
    assert sum(map(len, by_mask.values())) == len(advise(demo, FaceDescription()).ranked)
    assert all(row.configuration.partition("+")[0] == mask for mask, rows in by_mask.items() for row in rows)
    assert chances_by_mask(few) == {}


def test_plausible_measures_are_those_of_the_entries() -> None:
    assert plausible_mm("length_mm") == (80, 170)
    assert plausible_mm("width_mm") == (90, 190)
