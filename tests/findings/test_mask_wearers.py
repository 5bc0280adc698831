"""Masks as sold with the people who tried them: the counts are those of the summary, and none is left out."""

from __future__ import annotations

from builder.findings.dataset import Dataset, rows_of
from builder.findings.mask_wearers import DIVIDING_MM, FaceLength, MaskWearers, Tried, masks_best_first
from builder.findings.standing import best_first
from builder.fit.panel import CELLS


def test_counts_are_those_of_the_summary(demo: Dataset) -> None:
    for mask in masks_best_first(demo):
        row = mask.row
        assert mask.counts() == (round(row["share_at_100"] * row["share_wearers"]), row["share_wearers"])
        assert len(mask.wearers) == row["wearers"]
        by_length = [mask.counts(length) for length in FaceLength]
        assert tuple(map(sum, zip(*by_length, strict=True))) == mask.counts()


def test_every_mask_tested_as_sold_is_there_best_first(demo: Dataset) -> None:
    as_sold = demo.summary[(demo.summary["parts"] == "") & (demo.summary["tests"] > 0)]
    expected = [row["mask"] for row in rows_of(best_first(as_sold))]
    assert [mask.row["mask"] for mask in masks_best_first(demo)] == expected


def test_a_face_is_longer_as_its_measure_says(demo: Dataset) -> None:
    counted = demo.counted[demo.counted["parts"] == ""]
    measured = counted.dropna(subset=["face_length_mm"]).drop_duplicates(["mask", "wearer"])
    measured = measured[measured["cell"].isin([cell.name for cell in CELLS])]
    longer = measured[measured["face_length_mm"] >= DIVIDING_MM].groupby("mask")["wearer"].nunique()
    of_cells = demo.counted[
        demo.counted["face_length_mm"].isna() & demo.counted["cell"].isin(["6", "7", "8", "9", "10"])
    ]
    assert len(of_cells) == 0  # Every face of the demo in a cell was measured.
    for mask in masks_best_first(demo):
        shown = sum(one.length is FaceLength.LONGER for one in mask.wearers)
        assert shown == longer.get(mask.row["mask"], 0)


def test_what_is_not_known_counts_for_neither() -> None:
    wearers = (Tried(FaceLength.LONGER, True), Tried(FaceLength.SHORTER, False), Tried(FaceLength.LONGER, None))
    mask = MaskWearers({}, wearers)
    assert mask.counts() == (1, 2)
    assert mask.counts(FaceLength.LONGER) == (1, 1)
    assert mask.counts(FaceLength.UNKNOWN) == (0, 0)
