"""Files are written all or none: whatever goes wrong on the disk, whoever else writes, whenever the run is killed."""

from __future__ import annotations

import errno
import json
import os
import resource
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from builder.records import disk, writing_files
from builder.records.writing_files import settle, write_files
from tests.conftest import ROOT
from tests.records.killed_writer import FILES, INSTEAD_OF, NEW, OLD, laid_out, seen


@pytest.fixture
def root(tmp_path: Path) -> Path:
    laid_out(tmp_path)
    return tmp_path


def interrupted(root: Path, files: dict[str, str | bytes], instead_of: dict[str, str] | None = None) -> None:
    """Leave the root as a run does that is killed when everything is on the disk and nothing in its place."""
    (root / ".sealbook-draft").mkdir()
    writing_files._drafted(root, files, instead_of or {})
    (root / ".sealbook-draft").rename(root / ".sealbook-commit")


def test_all_are_written_and_nothing_else_is_left(root: Path) -> None:
    (root / "masks/cup.toml").chmod(0o640)
    (root / "tests/cap/wrong.toml").chmod(0o600)
    write_files(root, FILES, INSTEAD_OF)
    assert seen(root) == NEW
    rights = [(root / path).stat().st_mode & 0o777 for path in ("masks/cup.toml", "tests/cup/right.toml")]
    assert rights == [0o640, 0o600]


def test_many_are_written_too(tmp_path: Path) -> None:
    many: dict[str, str | bytes] = {f"tests/m{n % 7}/{n}.toml": f"{n}" for n in range(writing_files._MANY + 50)}
    write_files(tmp_path / "new" / "folder", many)
    assert seen(tmp_path / "new" / "folder") == many


@pytest.mark.parametrize("taken", ["masks/cup.toml", "tests/kettle/one.toml"])
def test_a_place_that_is_taken_stays_as_it_is(root: Path, taken: str) -> None:
    (root / taken).parent.mkdir(exist_ok=True)
    (root / taken).write_text("mine")
    before = seen(root)
    with pytest.raises(FileExistsError) as raised:
        write_files(root, {"masks/other.toml": "other", taken: "yours"})
    assert raised.value.filename == str(root / taken)
    assert seen(root) == before


def test_a_place_that_is_taken_meanwhile_stays_as_it_is(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    link = os.link

    def late(source: Path, target: Path) -> None:
        if target.name == "one.toml":
            target.write_text("mine")
        link(source, target)

    monkeypatch.setattr(os, "link", late)
    with pytest.raises(FileExistsError):
        write_files(root, FILES, INSTEAD_OF)
    assert seen(root) == OLD | {"tests/kettle/one.toml": "mine"}


def test_what_a_new_file_replaces_must_be_there(root: Path) -> None:
    with pytest.raises(FileNotFoundError):
        write_files(root, {"masks/kettle.toml": "new"}, {"masks/kettle.toml": "masks/gone.toml"})
    assert seen(root) == OLD


@pytest.mark.parametrize("path", ["../outside.toml", "/outside.toml", "", "masks/../../outside.toml"])
def test_nothing_is_written_outside(root: Path, path: str) -> None:
    with pytest.raises(ValueError, match="does not lie below the folder"):
        write_files(root, {path: "x"})
    assert seen(root) == OLD


def test_no_symbolic_link_is_followed(root: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    outside = tmp_path_factory.mktemp("outside")
    (root / "tests/linked").symlink_to(outside, target_is_directory=True)
    with pytest.raises(OSError, match="linked is a symbolic link"):
        write_files(root, {"tests/linked/one.toml": "x"})
    assert list(outside.iterdir()) == []


def test_a_run_that_is_broken_off_leaves_nothing(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(source: Path, target: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "link", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_files(root, FILES, INSTEAD_OF)
    assert seen(root) == OLD


def test_a_full_disk_leaves_nothing(tmp_path: Path) -> None:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (10, hard))
    try:
        with pytest.raises(OSError, match="File too large"):
            write_files(tmp_path / "new" / "folder", {"a": "short", "b": "longer than the disk has room for"})
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system with room for 16 blocks."""
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(tmp_path)], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip("only the superuser can mount a small disk")
    yield tmp_path
    subprocess.run(["umount", "--lazy", str(tmp_path)], check=True)


def test_a_disk_that_is_really_full_stays_as_it_was(small_disk: Path) -> None:
    laid_out(small_disk)
    free = os.statvfs(small_disk).f_bfree
    with pytest.raises(OSError, match="No space left on device"):
        write_files(small_disk, {f"masks/{n}.toml": "x" * 3000 for n in range(30)})
    assert (seen(small_disk), os.statvfs(small_disk).f_bfree) == (OLD, free)
    write_files(small_disk, FILES, INSTEAD_OF)
    assert seen(small_disk) == NEW


@pytest.mark.parametrize("name", ["some", "none"])
def test_two_at_once_take_turns(root: Path, name: str) -> None:
    """Each of many either writes all of its files or none; where two want the same place one of them gets it."""

    def write(number: int) -> bool:
        shared = {"masks/shared.toml": f"{number}"} if name == "some" else {}
        try:
            write_files(root, {f"tests/cup/{number}-{n}.toml": f"{number}" for n in range(5)} | shared)
        except FileExistsError:
            return False
        return True

    with ThreadPoolExecutor(8) as pool:
        written = list(pool.map(write, range(24)))
    found = seen(root)
    assert sum(written) == (1 if name == "some" else 24)
    for number, done in enumerate(written):
        own = [path for path in found if path.startswith(f"tests/cup/{number}-")]
        assert len(own) == (5 if done else 0)
    assert not any(path.startswith(".") for path in found)


def test_a_run_that_is_writing_is_left_alone(root: Path) -> None:
    with disk.locked(root):
        interrupted(root, {"masks/kettle.toml": "new"})
        with ThreadPoolExecutor(1) as pool:
            assert pool.submit(settle, root).result() == 0
        assert (root / ".sealbook-commit").exists()
    assert settle(root) == 1
    assert seen(root) == OLD | {"masks/kettle.toml": "new"}


def test_after_an_interruption_what_others_did_meanwhile_stays(root: Path) -> None:
    interrupted(root, FILES, INSTEAD_OF)
    (root / "masks/kettle.toml").write_text("mine")
    (root / "masks/cup.toml").write_text("changed since")
    (root / "tests/cap/wrong.toml").write_text("corrected by hand")
    assert settle(root) == 1
    assert seen(root) == OLD | {
        "masks/kettle.toml": "mine",
        "masks/cup.toml": "changed since",
        "tests/cap/wrong.toml": "corrected by hand",
        "tests/kettle/one.toml": "new test of the kettle\n",
    }


def forged(root: Path, **changes: object) -> None:
    """Prepare a hidden folder as somebody might who sends it with other files."""
    folder = root / ".sealbook-commit"
    folder.mkdir()
    (folder / "0.new").write_text("forged")
    item = {"path": "masks/forged.toml", "inode": 1, "old": None, "stamp": []} | changes
    (folder / "list.json").write_text(json.dumps({"items": [item], "folders": []}))


@pytest.mark.parametrize(
    "changes",
    [{}, {"inode": None}, {"inode": None, "old": "masks/cup.toml"}, {"path": "../out.toml"}, {"path": 3}, {"x": 1}],
)
def test_a_forged_list_is_not_followed(root: Path, changes: dict[str, object]) -> None:
    forged(root, **changes)
    before = seen(root)
    for work in (lambda: settle(root), lambda: write_files(root, {"masks/kettle.toml": "new"})):
        with pytest.raises(OSError) as raised:
            work()
        assert raised.value.strerror == (f"{root}/.sealbook-commit was not made here; look into it, then delete it")
    assert seen(root) == before


def test_a_list_that_no_one_can_read_is_not_followed(root: Path) -> None:
    (root / ".sealbook-undo").mkdir()
    (root / ".sealbook-undo" / "list.json").write_text("{")
    with pytest.raises(OSError, match="was not made here"):
        settle(root)


def test_everything_is_on_the_disk_before_any_of_it_is_in_place(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After a power cut only what was flushed is there for certain."""
    flushed: set[int] = set()
    fsync, rename = os.fsync, os.rename
    folders = {root / "tests", root / "masks"}

    def flush(handle: int) -> None:
        flushed.add(os.fstat(handle).st_ino)
        fsync(handle)

    def renamed(source: Path, target: Path) -> None:
        if Path(target).name == ".sealbook-commit":
            made = [source, *Path(source).glob("*.new"), Path(source) / "list.json"]
            assert {path.stat().st_ino for path in made} <= flushed
            flushed.clear()
        if Path(target).name == ".sealbook-draft":
            places = folders | {root / "tests/cup", root / "tests/kettle"}
            assert {path.stat().st_ino for path in places} <= flushed
        rename(source, target)

    monkeypatch.setattr(os, "fsync", flush)
    monkeypatch.setattr(os, "rename", renamed)
    write_files(root, FILES, INSTEAD_OF)
    assert seen(root) == NEW


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs processes that fork")
def test_killed_at_any_moment_all_or_none_is_there_after_the_next_run() -> None:
    """Before each step on the disk, and before each step of the run after that; also without room or hard links."""
    memory = Path("/dev/shm")
    with TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        done = subprocess.run(
            [sys.executable, "-m", "tests.records.killed_writer", folder],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
        )
    assert (done.returncode, done.stderr) == (0, "")
    assert all(int(kills) > 80 for kills in done.stdout.split())


@pytest.mark.parametrize("error", [errno.EPERM, errno.EOPNOTSUPP])
def test_without_hard_links_nothing_is_written_over_either(
    root: Path, monkeypatch: pytest.MonkeyPatch, error: int
) -> None:
    def refuse(*_: Any) -> None:
        raise OSError(error, os.strerror(error))

    monkeypatch.setattr(os, "link", refuse)
    write_files(root, FILES, INSTEAD_OF)
    assert seen(root) == NEW
    with pytest.raises(FileExistsError):
        write_files(root, {"masks/new.toml": "x", "masks/kettle.toml": "yours"})
    assert seen(root) == NEW
