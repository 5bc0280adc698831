"""Which logs of a folder have stopped growing."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder.records import watched_folder
from builder.records.watched_folder import WatchedFolder, could_be_log, fingerprint, grown_from, read_log_bytes


def names(folder: WatchedFolder, now: float) -> list[str]:
    return [path.name for path in folder.ready(now)]


def test_a_file_is_given_once_it_has_stopped_growing(tmp_path: Path) -> None:
    folder, log = WatchedFolder(tmp_path), tmp_path / "run.csv"
    log.write_text("a")
    assert names(folder, 0) == []
    log.write_text("ab")
    assert names(folder, 1.9) == []
    assert names(folder, 3.8) == []
    assert names(folder, 3.9) == ["run.csv"]
    assert names(folder, 9) == []
    log.write_text("abc")
    assert names(folder, 10) == []
    assert names(folder, 12) == ["run.csv"]


def test_an_empty_file_is_still_to_be_written(tmp_path: Path) -> None:
    folder = WatchedFolder(tmp_path)
    (tmp_path / "run.csv").touch()
    assert names(folder, 0) == names(folder, 60) == []


def test_a_file_under_a_name_for_the_time_being_waits_for_its_own(tmp_path: Path) -> None:
    folder, made = WatchedFolder(tmp_path), tmp_path / "run.csv.part"
    made.write_text("a")
    assert names(folder, 0) == names(folder, 5) == []
    made.rename(tmp_path / "run.csv")
    assert names(folder, 6) == []
    assert names(folder, 8) == ["run.csv"]


@pytest.mark.parametrize("name", [".run.csv", "~run.csv", "run.csv~", "RUN.TMP", "run.crdownload", "#run.csv#"])
def test_these_are_no_logs(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("a")
    assert not could_be_log(tmp_path / name)


def test_a_folder_is_no_log(tmp_path: Path) -> None:
    (tmp_path / "more.csv").mkdir()
    assert not could_be_log(tmp_path / "more.csv")


def test_the_oldest_comes_first(tmp_path: Path) -> None:
    folder = WatchedFolder(tmp_path)
    for age, name in enumerate(("b.csv", "a.csv", "c.csv")):
        (tmp_path / name).write_text(name)
        os.utime(tmp_path / name, (100 + age, 100 + age))
    assert names(folder, 0) == []
    assert names(folder, 2) == ["b.csv", "a.csv", "c.csv"]


def test_one_that_could_not_be_opened_comes_again(tmp_path: Path) -> None:
    folder = WatchedFolder(tmp_path)
    (tmp_path / "run.csv").write_text("a")
    folder.ready(0)
    [path] = folder.ready(2)
    folder.again(path)
    assert names(folder, 2.5) == ["run.csv"]


def test_a_folder_that_is_gone_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        WatchedFolder(tmp_path / "gone").ready(0)


def test_a_log_that_got_longer_is_known_by_its_beginning() -> None:
    short, other = fingerprint(b"a,b\n1,2\n"), fingerprint(b"c,d\n1,2\n")
    assert grown_from(b"a,b\n1,2\n3,4\n", [other, short, "odd"]) == short
    assert grown_from(b"x", [other, short]) is None
    assert grown_from(b"a,b\n1,2\n", [short]) is None


def test_a_file_far_larger_than_any_log_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "run.csv").write_text("12345")
    monkeypatch.setattr(watched_folder, "_LARGEST", 4)
    with pytest.raises(OSError, match="far larger than a log of one donning"):
        read_log_bytes(tmp_path / "run.csv")
