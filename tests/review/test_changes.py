"""New, changed and removed records between two states of real entries."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from builder.records.entries import REMOVED_FILE
from builder.records.key_changes import KeyChange
from builder.review.changes import Change, NewFace, changes, faces, newly_listed, without_reason
from builder.review.revisions import Repository
from builder.review.states import States, read_states
from tests.records import samples
from tests.review.repository import commit, git, start

OTHER_PATH = "tests/drum-cup/2026-09-13-red-kite-1.toml"
OTHER = (
    samples.TEST.replace("2026-09-12", "2026-09-13")
    .replace("blue-heron", "red-kite")
    .replace("length_mm = 117", "length_mm = 104")
    .replace("fit_factor = 50", "fit_factor = 52")
)


@pytest.fixture
def entries(tmp_path: Path) -> Path:
    """The sample entries, committed."""
    root = samples.write(tmp_path / "base" / "entries", {OTHER_PATH: OTHER})
    start(root.parent)
    return root


def states(entries: Path, head: str | None = None, base: str = "main") -> States:
    repository = Repository.around(entries)
    return read_states(repository, repository.commit(base), repository.commit(head) if head else None)


def test_nothing_changed(entries: Path) -> None:
    (entries / "README.md").write_text("Not an entry.\n")
    found = states(entries)
    assert changes(found) == ()
    assert found.problems == ()
    assert found.old.table.equals(found.new.table)


def test_each_change_is_named_with_its_keys(entries: Path) -> None:
    test = (entries / samples.TEST_PATH).read_text()
    (entries / samples.TEST_PATH).write_text(
        test.replace("fit_factor = 50", "fit_factor = 60").replace("comfort = 4\n", "")
    )
    (entries / "parts/broad-strip.toml").write_text(samples.PART.replace("Thin foam", "Strip"))
    (entries / OTHER_PATH).unlink()
    assert changes(states(entries)) == (
        Change("part", "broad-strip", "parts/broad-strip.toml", "new"),
        Change(
            "test",
            "drum-cup/2026-09-12-blue-heron-1",
            samples.TEST_PATH,
            "changed",
            (
                KeyChange("result.exercise[1].fit_factor", "50", "60"),
                KeyChange("observations.comfort", "4", ""),
            ),
        ),
        Change("test", "drum-cup/2026-09-13-red-kite-1", OTHER_PATH, "removed"),
    )


def test_another_form_of_the_same_content_is_no_change(entries: Path) -> None:
    path = entries / samples.TEST_PATH
    path.write_text(path.read_text().replace("comfort = 4", "comfort   =   4 # out of five"))
    found = states(entries)
    assert found.changed == {samples.TEST_PATH}
    assert changes(found) == ()


def test_a_commit_is_read_as_the_work_tree_would_be(entries: Path) -> None:
    """And the paths of its problems are those the user knows."""
    (entries / OTHER_PATH).unlink()
    (entries / samples.TEST_PATH).write_text(samples.TEST.replace("comfort = 4", "comfort = 9"))
    here = states(entries)
    made = commit(entries.parent, "second")
    git(entries, "checkout", "-q", "HEAD~1")
    there = states(entries, made, "main~1")
    assert there.problems == here.problems
    assert [problem.path for problem in there.problems] == [(entries / samples.TEST_PATH).as_posix()]
    assert changes(there) == changes(here)
    assert there.new.table.equals(here.new.table)
    assert there.old.table.equals(here.old.table)


def test_a_broken_file_is_a_problem_and_no_removal(entries: Path) -> None:
    (entries / OTHER_PATH).write_text("mask = ")
    found = states(entries)
    assert changes(found) == ()
    assert [problem.rule for problem in found.own_problems] == ["syntax"]
    assert list(found.old.table["wearer"]) == ["blue-heron", "red-kite"]
    assert list(found.new.table["wearer"]) == ["blue-heron"]


def test_a_test_with_an_error_is_named_but_not_counted(entries: Path) -> None:
    path = "tests/drum-cup/2062-09-12-red-kite-1.toml"
    (entries / path).write_text(OTHER.replace("2026-09-13", "2062-09-12"))
    found = states(entries)
    assert [change.id for change in changes(found)] == ["drum-cup/2062-09-12-red-kite-1"]
    assert len(found.new.table) == 2


def test_a_mask_that_became_faulty_is_taken_as_it_was(entries: Path) -> None:
    (entries / samples.MASK_PATH).write_text("model = ")
    found = states(entries)
    assert [problem.rule for problem in found.problems] == ["syntax"]
    assert changes(found) == ()
    assert found.new.table.equals(found.old.table)


def test_a_removed_mask_takes_the_figures_of_its_tests_along(entries: Path) -> None:
    (entries / samples.MASK_PATH).unlink()
    found = states(entries)
    assert found.own_problems == ()
    assert {problem.rule for problem in found.other_errors} == {"known-mask"}
    assert len(found.old.table) == 2
    assert found.new.table.empty


def test_a_removed_part_takes_the_tests_with_it_along(entries: Path) -> None:
    strip = samples.PART.replace('"nose-foam"', '"edge"')
    (entries / "parts/rim.toml").write_text(strip)
    (entries / OTHER_PATH).write_text(OTHER.replace('nose-foam = "none"', 'edge = "rim"'))
    commit(entries.parent, "second")
    (entries / "parts/rim.toml").unlink()
    found = states(entries)
    assert [problem.rule for problem in found.other_errors] == ["known-part"]
    assert list(found.old.table["wearer"]) == ["blue-heron", "red-kite"]
    assert list(found.new.table["wearer"]) == ["blue-heron"]


def test_a_removal_asks_for_its_reason(entries: Path) -> None:
    (entries / OTHER_PATH).unlink()
    found = states(entries)
    assert [change.id for change in without_reason(found, changes(found))] == ["drum-cup/2026-09-13-red-kite-1"]
    (entries / REMOVED_FILE).write_text(samples.REMOVED.replace("2026-09-12-blue-heron-2", "2026-09-13-red-kite-1"))
    found = states(entries)
    assert found.problems == ()
    assert without_reason(found, changes(found)) == ()
    assert [removal.reason for removal in newly_listed(found)] == ["The hose was loose."]
    assert [change.kind for change in changes(found)] == ["removed", "test"]


def test_a_removed_mask_asks_for_its_reason_too(entries: Path) -> None:
    shutil.rmtree(entries / "tests")
    (entries / samples.MASK_PATH).unlink()
    found = states(entries)
    assert [(change.kind, change.id) for change in without_reason(found, changes(found))] == [
        ("mask", "drum-cup"),
        ("test", "drum-cup/2026-09-12-blue-heron-1"),
        ("test", "drum-cup/2026-09-13-red-kite-1"),
    ]


def test_a_list_that_stays_as_it_was_is_heeded(entries: Path) -> None:
    listed = samples.REMOVED.replace("blue-heron-2", "blue-heron-7")
    (entries / REMOVED_FILE).write_text(listed)
    commit(entries.parent, "second")
    (entries / samples.TEST_PATH).write_text(samples.TEST.replace("comfort = 4", "comfort = 3"))
    found = states(entries)
    assert [removal.test for removal in found.old.entries.removed] == ["drum-cup/2026-09-12-blue-heron-7"]
    assert newly_listed(found) == ()


def test_new_faces_and_cells(entries: Path) -> None:
    new = OTHER.replace("red-kite", "grey-owl").replace("length_mm = 104", "length_mm = 125")
    (entries / "tests/drum-cup/2026-09-13-grey-owl-1.toml").write_text(new)
    found = states(entries)
    assert list(found.old.table["cell"]) == ["4", "2"]
    assert faces(found.old.table, found.new.table).new == (NewFace("grey-owl", "7", "high", 1),)
    assert faces(found.old.table, found.new.table).newly_covered == ("7",)


def test_all_entries_may_be_new(tmp_path: Path) -> None:
    start(tmp_path)
    root = samples.write(tmp_path / "entries")
    found = states(root)
    assert [(change.what, change.kind) for change in changes(found)] == [
        ("new", "mask"),
        ("new", "part"),
        ("new", "test"),
    ]
    assert found.old.table.empty
    assert len(found.new.table) == 1


def test_a_link_in_a_commit_is_never_followed(entries: Path, tmp_path: Path) -> None:
    secret = tmp_path / "secret.toml"
    secret.write_text(samples.PART)
    (entries / "parts/linked.toml").symlink_to(secret)
    made = commit(entries.parent, "second")
    git(entries, "checkout", "-q", "HEAD~1")
    found = states(entries, made, "main~1")
    assert [problem.rule for problem in found.own_problems] == ["no-links"]
    assert changes(found) == ()
