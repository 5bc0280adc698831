"""New entries are checked before they are there, and written all or none."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.records.new_entries import check_new, write_all
from tests.records import samples

NEW = "tests/drum-cup/2026-09-12-blue-heron-2.toml"
OTHER = "tests/new-cup/2026-09-12-blue-heron-1.toml"
LATER = samples.TEST.replace("fit_factor = 50\n", "fit_factor = 40\n")


def files(root: Path) -> dict[str, str]:
    return {path.relative_to(root).as_posix(): path.read_text() for path in sorted(root.rglob("*")) if path.is_file()}


def test_a_good_test_has_no_problem_and_is_not_there_yet(tmp_path: Path) -> None:
    root = samples.write(tmp_path)
    before = files(root)
    assert check_new(root, {NEW: LATER}) == []
    assert files(root) == before


def test_new_entries_are_compared_with_old_ones_and_each_other(tmp_path: Path) -> None:
    root = samples.write(tmp_path)
    wider = LATER.replace("width_mm = 138", "width_mm = 148")
    [face] = check_new(root, {NEW: wider})
    assert (face.path, face.rule) == (f"{root}/{NEW}", "same-face")
    assert face.problem.endswith(f"but 117 × 138 mm in {root}/{samples.TEST_PATH}:11.")
    assert [problem.rule for problem in check_new(root, {NEW: samples.TEST})] == ["same-test"]
    mask = {"masks/new-cup.toml": samples.MASK.replace("Drum", "New")}
    new_test = {OTHER: LATER.replace("drum-cup", "new-cup")}
    assert [problem.rule for problem in check_new(root, new_test)] == ["known-mask"]
    assert check_new(root, mask | new_test) == []


def test_faults_of_other_files_are_no_concern(tmp_path: Path) -> None:
    root = samples.write(tmp_path, {"parts/bad.toml": "x", "tests/drum-cup/2026-01-01-red-fox-1.toml": "y"})
    assert check_new(root, {NEW: LATER}) == []


def test_all_are_written(tmp_path: Path) -> None:
    root = samples.write(tmp_path)
    before = files(root)
    write_all(root, {NEW: "one", OTHER: "two"})
    assert files(root) == before | {NEW: "one", OTHER: "two"}


def test_none_is_written_where_one_place_is_taken(tmp_path: Path) -> None:
    root = samples.write(tmp_path)
    before = files(root)
    with pytest.raises(FileExistsError):
        write_all(root, {NEW: "one", OTHER: "two", samples.TEST_PATH: "three"})
    assert files(root) == before
    assert not (root / OTHER).parent.exists()


def test_none_is_written_when_it_is_broken_off(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = samples.write(tmp_path)
    before = files(root)
    real = Path.replace

    def interrupted(self: Path, target: Path) -> Path:
        if target == root / OTHER:
            raise KeyboardInterrupt
        return real(self, target)

    monkeypatch.setattr(Path, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_all(root, {NEW: "one", OTHER: "two"})
    assert files(root) == before
