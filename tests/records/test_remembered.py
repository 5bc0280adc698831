"""A check that was made before stands in for one of the same files, and for no other."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from builder.records import remembered as module
from builder.records.checking import Checked, check, check_snapshot
from builder.records.known_reads import KnownReads
from builder.records.memory import Memory
from builder.records.remembered import Examination
from builder.records.snapshots import Snapshot
from tests.records import samples

TODAY = date(2026, 12, 1)


@pytest.fixture
def checks(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The folders that were checked anew."""
    done: list[Path] = []

    def counted(snapshot: Snapshot, known: KnownReads | None, *, today: date) -> Checked:
        done.append(snapshot.root)
        return check_snapshot(snapshot, known, today=today)

    monkeypatch.setattr(module, "check_snapshot", counted)
    return done


def test_the_same_files_are_checked_once(tmp_path: Path, checks: list[Path]) -> None:
    root = samples.write(tmp_path / "entries", {samples.TEST_PATH: samples.TEST + "wrong = 1\n"})
    first, second = (Examination.of(root, Memory(tmp_path), today=TODAY).problems for _ in range(2))
    assert first == second == check(root, today=TODAY).problems != []
    assert [p.concerns for p in first] == [p.concerns for p in second] == [(samples.TEST_PATH,)]
    assert len(checks) == 1


def test_a_day_in_the_future_is_looked_at_again_when_it_has_come(tmp_path: Path, checks: list[Path]) -> None:
    root, memory = samples.write(tmp_path / "entries"), Memory(tmp_path)
    day = date.fromisoformat(samples.TEST_PATH.rpartition("/")[2][:10])
    early, late = day - timedelta(days=9), day + timedelta(days=400)
    assert [p.rule for p in Examination.of(root, memory, today=early).problems] == ["possible-date"]
    assert Examination.of(root, memory, today=day).problems == []
    assert Examination.of(root, memory, today=late).problems == []
    assert len(checks) == 2
    # A clock that runs backwards is no reason to trust what was said then.
    assert [p.rule for p in Examination.of(root, memory, today=early).problems] == ["possible-date"]


def test_a_folder_of_another_name_is_told_by_its_own(tmp_path: Path) -> None:
    memory = Memory(tmp_path / "memory")
    for name in ("here", "there"):
        root = samples.write(tmp_path / name, {samples.TEST_PATH: "mask = \n"})
        assert {p.path for p in Examination.of(root, memory, today=TODAY).problems} == {f"{root}/{samples.TEST_PATH}"}


def test_of_known_files_only_the_changed_one_is_read(tmp_path: Path) -> None:
    root = samples.write(tmp_path)
    known = KnownReads()
    check_snapshot(Snapshot.of(root), known, today=TODAY)
    before = dict(known.reads)
    (root / samples.TEST_PATH).write_text(samples.TEST.replace("fit_factor = 50", "fit_factor = 51"))
    checked = check_snapshot(Snapshot.of(root), known, today=TODAY)
    assert checked == check(root, today=TODAY)
    assert {path for path in known.reads if known.reads[path] is not before[path]} == {samples.TEST_PATH}
