"""The first page's answer in a sentence: only what rests on enough people."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.findings.mask_wearers import FaceLength, MaskWearers, Tried, masks_best_first
from builder.words.labels import mask_label
from builder.words.start_words import answer, of_people


def mask(reached: int, people: int) -> MaskWearers:
    wearers = tuple(Tried(FaceLength.SHORTER, place < reached) for place in range(people))
    return MaskWearers({"wearers": people}, wearers)


def test_it_names_the_best_and_how_many_did_worse() -> None:
    ranked = (mask(9, 10), mask(2, 4), mask(1, 4), mask(1, 1))
    assert answer(ranked, "Plain") == (
        "Best so far: Plain, which as sold sealed on 9 of the 10 people who tried it.",
        "1 of 3 masks sealed on fewer than half of theirs.",
    )


def test_few_people_are_no_answer() -> None:
    assert answer((), "") == ()
    assert answer((mask(2, 2), mask(1, 1)), "Plain") == ()
    assert answer((mask(3, 4), mask(1, 4)), "Plain") == (
        "Best so far: Plain, which as sold sealed on 3 of the 4 people who tried it.",
    )


def test_the_demo_has_an_answer(demo: Dataset) -> None:
    ranked = masks_best_first(demo)
    label = mask_label(demo.entries.masks[ranked[0].row["mask"]].mask)
    assert answer(ranked, label) == (
        "Best so far: Glivedupim, which as sold sealed on 7 of the 10 people who tried it.",
        "7 of 10 masks sealed on fewer than half of theirs.",
    )


def test_people_are_counted() -> None:
    assert of_people(mask(3, 4)) == "3 of 4"
    assert of_people(mask(3, 4), FaceLength.LONGER) == "nobody"
