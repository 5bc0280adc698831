"""Small steps on the disk either happen or do not."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder.records import disk


def test_a_new_file_replaces_none(tmp_path: Path) -> None:
    disk.write_new(tmp_path / "new", b"new", flush=True)
    with pytest.raises(FileExistsError):
        disk.write_new(tmp_path / "new", b"newer", flush=False)
    assert (tmp_path / "new").read_bytes() == b"new"


def test_a_link_replaces_none_and_any_other_error_is_told(tmp_path: Path) -> None:
    (tmp_path / "source").write_text("source")
    (tmp_path / "mine").write_text("mine")
    with pytest.raises(FileExistsError) as raised:
        disk.link_or_move(tmp_path / "source", tmp_path / "mine")
    assert raised.value.filename == str(tmp_path / "mine")
    with pytest.raises(FileNotFoundError):
        disk.link_or_move(tmp_path / "source", tmp_path / "gone" / "target")
    disk.link_or_move(tmp_path / "source", tmp_path / "target")
    assert disk.inode_of(tmp_path / "source") == disk.inode_of(tmp_path / "target")


def test_a_change_shows(tmp_path: Path) -> None:
    path = tmp_path / "file"
    assert (disk.stamp_of(path), disk.inode_of(path)) == ([], None)
    path.write_text("one")
    before = disk.stamp_of(path)
    os.utime(path, ns=(0, before[1] + 1))
    assert disk.stamp_of(path) == [3, before[1] + 1]


def test_who_does_not_wait_is_sent_away(tmp_path: Path) -> None:
    with disk.locked(tmp_path), pytest.raises(BlockingIOError), disk.locked(tmp_path, wait=False):
        pass
    with disk.locked(tmp_path, wait=False):
        pass
