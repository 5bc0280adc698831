"""What is made once for a dataset."""

from __future__ import annotations

from dataclasses import replace

from builder.findings.dataset import Dataset
from builder.findings.made_once import made_once


def test_it_is_made_once_for_a_dataset_and_what_is_asked(demo: Dataset) -> None:
    asked = []

    @made_once
    def make(data: Dataset, face: str, *, as_sold: bool = False) -> int:
        asked.append((data, face, as_sold))
        return len(asked)

    other = replace(demo)
    assert [make(demo, "a"), make(demo, "a"), make(demo, "b"), make(demo, "a", as_sold=True)] == [1, 1, 2, 3]
    assert [make(other, "a"), make(demo, "a"), make(demo, "a", as_sold=True)] == [4, 1, 3]
    assert [data for data, _, _ in asked] == [demo, demo, demo, other]
