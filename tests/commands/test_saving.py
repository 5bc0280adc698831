"""Every verb that writes: all of its files or none, in plain words why not, and nothing else left."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from builder.cli import main
from builder.records import disk, kept_bench, writing_files
from tests.conftest import ROOT
from tests.records import samples
from tests.records.killed_writer import seen
from tests.records.test_writing_files import interrupted

TABLE = """\
mask,date,contributor,wearer,facial_hair,protocol,fit_factor
drum-cup,2026-09-13,grey-bench,red-kite,none,free,64
drum-cup,2026-09-14,grey-bench,red-kite,none,free,70
"""
LOG = "seconds,phase,exercise,particles\n10,ambient,,10000\n20,mask,talking,90\n30,ambient,,10100\n"
UNTIDY = samples.TEST.partition("\n")[2]
PERSON = ["--contributor", "grey-bench", "--wearer", "red-kite", "--facial-hair", "none"]


def verbs(home: Path) -> dict[str, list[str]]:
    """A call of each verb that writes, below a folder that holds entries and files to read."""
    entries = ["--entries", str(home / "entries")]
    changed = [*entries, "--yes"]
    return {
        "rename": ["rename", "mask", "drum-cup", "cup", *changed],
        "split": ["split", "drum-cup", "--size", "cup-s=S", "--size", "cup-m=M", "--rest", "cup-m", *changed],
        "join": ["join", "blue-heron", "red-kite", *changed],
        "withdraw": ["withdraw", "wearer", "blue-heron", *changed],
        "new": ["new", "part", "--name", "Tape", "--slot", "edge", "--material", "paper", "--fitting", "On the rim.",
                "--can-be-undone", *entries],
        "add": ["add", str(home / "tests.csv"), *entries],
        "counts": ["counts", str(home / "log.csv"), "--write", "--mask", "drum-cup", "--date", "2026-09-13",
                   "--protocol", "free", *PERSON, *entries],
        "plan": ["plan", "drum-cup", "--vary", "nose-foam=none", "--wearer", "red-kite", "--facial-hair", "none",
                 "--write", str(home / "entries"), *entries],
        "check": ["check", "--fix", *entries],
        "export": ["export", str(home / "open"), *entries],
        "demo": ["demo", str(home / "demo"), "--tests", "5", "--wearers", "2", "--masks", "1"],
    }  # fmt: skip


VERBS = list(verbs(Path()))


@pytest.fixture
def home(tmp_path: Path) -> Path:
    more: dict[str, str | bytes] = {
        "tests/drum-cup/2026-09-12-blue-heron-2.toml": UNTIDY.replace("= 50", "= 60"),
        "tests/drum-cup/2026-09-12-red-kite-1.toml": samples.TEST.replace("blue-heron", "red-kite").replace(
            "= 50", "= 70"
        ),
    }
    samples.write(tmp_path / "entries", more)
    (tmp_path / "tests.csv").write_text(TABLE)
    (tmp_path / "log.csv").write_text(LOG)
    return tmp_path


@pytest.mark.parametrize("verb", VERBS)
def test_it_writes_where_it_can(home: Path, verb: str) -> None:
    before = seen(home)
    result = CliRunner().invoke(main, verbs(home)[verb])
    assert result.exit_code == 0, result.output
    after = seen(home)
    assert after != before
    assert not [path for path in after if "/." in path and kept_bench.FOLDER not in path]


@pytest.mark.parametrize("verb", VERBS)
def test_a_full_disk_ends_in_a_sentence(home: Path, verb: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The list of the files is the last thing that is written before they are put in place."""
    write_new: Callable[..., None] = disk.write_new

    def full(path: Path, content: bytes, *, flush: bool) -> None:
        if path.name == "list.json":
            raise OSError(errno.ENOSPC, "No space left on device")
        write_new(path, content, flush=flush)

    monkeypatch.setattr(writing_files, "write_new", full)
    before = seen(home)
    result = CliRunner().invoke(main, verbs(home)[verb])
    assert result.exit_code == 1
    assert result.stderr.endswith("Error: Nothing was written: No space left on device.\n")
    assert (seen(home), sorted(path.name for path in home.iterdir())) == (before, ["entries", "log.csv", "tests.csv"])


@pytest.mark.parametrize("verb", VERBS)
def test_a_folder_without_leave_to_write_ends_in_a_sentence(
    home: Path, verb: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    mkdir = os.mkdir

    def refused(path: Path, *mode: int) -> None:
        if Path(path).name == ".sealbook-draft":
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))
        mkdir(path, *mode)

    monkeypatch.setattr(os, "mkdir", refused)
    before = seen(home)
    result = CliRunner().invoke(main, verbs(home)[verb])
    assert result.exit_code == 1
    assert result.stderr.endswith("Error: Nothing was written: Permission denied.\n")
    assert (seen(home), sorted(path.name for path in home.iterdir())) == (before, ["entries", "log.csv", "tests.csv"])


@pytest.fixture
def read_only(home: Path) -> Iterator[str]:
    """Make the entries really read-only; give what the system says to who writes there."""
    entries = home / "entries"
    if os.geteuid():
        entries.chmod(0o555)
        yield "Permission denied"
        entries.chmod(0o755)
        return
    # The superuser may write everywhere but on a disk that is mounted so.
    if subprocess.run(["mount", "-t", "tmpfs", "tmpfs", entries], capture_output=True, check=False).returncode:
        pytest.skip("no disk can be mounted here")
    samples.write(entries)
    subprocess.run(["mount", "-o", "remount,ro", entries], check=True)
    yield "Read-only file system"
    subprocess.run(["umount", entries], check=True)


@pytest.mark.parametrize("verb", ["new", "add", "counts", "plan"])
def test_a_folder_that_is_really_read_only(home: Path, read_only: str, verb: str) -> None:
    result = CliRunner().invoke(main, verbs(home)[verb])
    assert (result.exit_code, result.stderr.splitlines()[-1]) == (1, f"Error: Nothing was written: {read_only}.")
    assert not list((home / "entries").glob(".*"))


def test_two_runs_that_want_the_same_number(home: Path) -> None:
    """Each takes the next free number before it writes; the one that comes second is told and can be run again."""
    command = [sys.executable, "-m", "builder", *verbs(home)["add"]]
    runs = [subprocess.Popen(command, cwd=ROOT, stdout=-1, stderr=-1, text=True) for _ in range(2)]
    outputs = [run.communicate() for run in runs]
    codes = sorted(run.returncode for run in runs)
    assert codes in ([0, 0], [0, 2]), outputs
    assert len(list((home / "entries/tests/drum-cup").iterdir())) == 5
    if codes == [0, 2]:
        assert any("is there already; nothing was written." in " ".join(err.split()) for _, err in outputs)


@pytest.mark.parametrize("verb", ["check", "summary"])
def test_the_next_run_of_any_verb_finishes_what_was_interrupted(home: Path, verb: str) -> None:
    entries = home / "entries"
    interrupted(entries, {"parts/tape.toml": samples.PART})
    result = CliRunner().invoke(main, [verb, "--entries", str(entries)])
    assert result.exit_code == 0, result.output
    finished, *_ = result.stderr.splitlines()
    assert finished == f"Finished an interrupted run: put 1 more of its files into {entries}."
    assert (entries / "parts/tape.toml").read_text() == samples.PART
    assert not list(entries.glob(".*"))


def test_what_cannot_be_finished_is_told_and_does_not_stop_a_verb_that_reads(home: Path) -> None:
    (home / "entries/.sealbook-commit").mkdir()
    result = CliRunner().invoke(main, ["check", "--entries", str(home / "entries")])
    assert result.exit_code == 0
    assert result.stderr == (
        f"What an interrupted run left in {home}/entries could not be put in order: "
        f"{home}/entries/.sealbook-commit was not made here; look into it, then delete it.\n"
    )
