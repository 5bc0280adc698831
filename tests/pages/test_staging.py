"""A folder is the old one or the new one, whatever happens to a build."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder.site import staging

NOBODY = 2**31 - 1
"""More than any system numbers its processes, so none has it."""


def filled(folder: Path, text: str) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "index.html").write_text(text)
    return folder


def test_a_finished_folder_takes_the_place_of_the_old_one(tmp_path: Path) -> None:
    site = filled(tmp_path / "site", "old")
    staging.publish(filled(staging.staging_folder(site), "new"), site)
    assert (site / "index.html").read_text() == "new"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_the_first_one_is_simply_put_there(tmp_path: Path) -> None:
    site = tmp_path / "deep" / "site"
    staging.publish(filled(staging.staging_folder(site), "new"), site)
    assert (site / "index.html").read_text() == "new"


def test_of_two_first_ones_that_are_ready_at_once_the_second_takes_the_place_of_the_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = tmp_path / "site"
    first, second = filled(tmp_path / "first", "first"), filled(tmp_path / "second", "second")
    rename = Path.rename

    def overtaken(path: Path, target: Path) -> Path:
        monkeypatch.setattr(Path, "rename", rename)
        staging.publish(first, site)
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", overtaken)
    staging.publish(second, site)
    assert (site / "index.html").read_text() == "second"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_without_an_exchange_two_renames_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(staging, "_exchange", lambda first, second: False)
    site = filled(tmp_path / "site", "old")
    staging.publish(filled(staging.staging_folder(site), "new"), site)
    assert (site / "index.html").read_text() == "new"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_what_a_killed_build_left_is_removed_and_what_a_running_one_makes_is_not(tmp_path: Path) -> None:
    site = filled(tmp_path / "site", "old")
    left = filled(tmp_path / f".site-building-{NOBODY}", "half")
    running = filled(tmp_path / f".site-building-{os.getppid()}", "growing")
    other = filled(tmp_path / ".site-building-notes", "mine")
    staging.staging_folder(site)
    assert not left.exists()
    assert running.exists()
    assert other.exists()


def test_the_rights_of_the_old_folder_stay(tmp_path: Path) -> None:
    site = filled(tmp_path / "site", "old")
    site.chmod(0o750)
    assert staging.staging_folder(site).stat().st_mode & 0o777 == 0o750
