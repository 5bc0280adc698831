"""What stands in while a site is served is of the same entries of a mask, or of the same tests altogether."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import replace

import pytest

from builder.findings import standing_in as module
from builder.findings.dataset import Dataset, build_dataset
from builder.findings.standing_in import of_the_same, own_digests, standing_in
from tests.conftest import ROOT


@pytest.fixture(autouse=True)
def _nothing_made(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_made", {})
    monkeypatch.setattr(module, "_of_the_same", {})


def test_in_haste_only_masks_with_other_entries_are_made_again() -> None:
    asked: list[Set[str]] = []

    def make(masks: Set[str]) -> dict[str, str]:
        asked.append(set(masks))
        return {mask: f"{mask}{len(asked)}" for mask in masks if mask != "untested"}

    first = {"a": b"1", "b": b"1", "untested": b"1"}
    assert standing_in("page", first, make, older=True) == {"a": "a1", "b": "b1"}
    assert standing_in("page", first | {"b": b"2"}, make, older=True) == {"a": "a1", "b": "b2"}
    assert standing_in("page", {"b": b"2", "c": b"1"}, make, older=True) == {"b": "b2", "c": "c3"}
    assert asked == [{"a", "b", "untested"}, {"b"}, {"c"}]
    assert standing_in("page", {"b": b"2", "c": b"1"}, make, older=True) == {"b": "b2", "c": "c3"}
    assert len(asked) == 3
    assert standing_in("page", {"b": b"2", "c": b"1"}, make, older=False) == {"b": "b4", "c": "c4"}
    assert standing_in("chart", {"b": b"2"}, make, older=True) == {"b": "b5"}


def test_what_is_of_the_same_is_made_once() -> None:
    assert of_the_same("summary", b"1", lambda: "first") == "first"
    assert of_the_same("summary", b"1", lambda: "again") == "first"
    assert of_the_same("faces", b"1", lambda: "other") == "other"
    assert of_the_same("summary", b"2", lambda: "second") == "second"
    assert of_the_same("summary", b"1", lambda: "third") == "third"


def test_a_mask_has_its_own_tests_and_everything_but_tests() -> None:
    files = {"masks/a.toml": b"A", "masks/b.toml": b"B", "tests/a/1.toml": b"1", "tests/b/1.toml": b"1"}
    masks: dict[str, object] = {"a": None, "b": None}
    before = own_digests(files, masks)
    assert before["a"] != before["b"]

    def changed(more: dict[str, bytes]) -> set[str]:
        after = own_digests(files | more, masks)
        return {mask for mask in masks if before[mask] != after[mask]}

    assert changed({}) == set()
    assert changed({"tests/a/1.toml": b"2"}) == {"a"}
    assert changed({"tests/b/2.toml": b""}) == {"b"}
    assert changed({"masks/b.toml": b"C"}) == {"a", "b"}
    assert changed({"parts/new.toml": b""}) == {"a", "b"}
    assert changed({"removed.toml": b""}) == {"a", "b"}


def test_only_what_is_served_stands_in(demo: Dataset) -> None:
    served = replace(demo, hasty=True)
    assert demo.of_same_tests("x", demo.table["test"], lambda: 1) == 1
    assert demo.of_same_tests("x", demo.table["test"], lambda: 2) == 2
    assert served.of_same_tests("x", demo.table["test"], lambda: 3) == 3
    assert served.of_same_tests("x", demo.table["test"], lambda: 4) == 3
    assert served.of_same_tests("x", demo.table["test"], lambda: 5, "another list of faces") == 5
    assert served.of_same_tests("x", demo.table["test"].head(5), lambda: 6) == 6
    assert served.of_same_tests("x", demo.table["test"].head(5), lambda: 7) == 6
    other = replace(served, contents={**demo.contents, "parts/new.toml": b""})
    assert other.of_same_tests("x", demo.table["test"].head(5), lambda: 8) == 8


def test_a_dataset_knows_the_files_it_is_of() -> None:
    data = build_dataset(ROOT / "entries")
    assert {path for path in data.contents if path.startswith("tests/")} == {
        f"tests/{test}.toml" for test in data.table["test"]
    }
    mask = next(iter(data.entries.masks.values()))
    assert data.contents[mask.path] == (ROOT / "entries" / mask.path).read_bytes()
