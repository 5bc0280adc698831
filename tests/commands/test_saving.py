"""Every verb that writes: all of its files or none, in plain words why not, and nothing else left."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from click.testing import CliRunner

from builder.cli import main
from builder.records import disk, writing_files
from tests.commands.every_verb import WRITING, kept, laid_out, writing
from tests.conftest import ROOT
from tests.records import samples
from tests.records.test_writing_files import interrupted


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return laid_out(tmp_path)


@pytest.mark.parametrize("verb", WRITING)
def test_it_writes_where_it_can(home: Path, verb: str) -> None:
    before = kept(home)
    result = CliRunner().invoke(main, writing(home)[verb])
    assert result.exit_code == 0, result.output
    after = kept(home)
    assert after != before
    assert not [path for path in after if "/.sealbook-" in path]


@pytest.mark.parametrize("verb", WRITING)
def test_a_full_disk_ends_in_a_sentence(home: Path, verb: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The list of the files is the last thing that is written before they are put in place."""
    write_new: Callable[..., None] = disk.write_new

    def full(path: Path, content: bytes, *, flush: bool) -> None:
        if path.name == "list.json":
            raise OSError(errno.ENOSPC, "No space left on device")
        write_new(path, content, flush=flush)

    monkeypatch.setattr(writing_files, "write_new", full)
    before = kept(home)
    result = CliRunner().invoke(main, writing(home)[verb])
    assert result.exit_code == 1
    assert result.stderr.endswith("Error: Nothing was written: No space left on device.\n")
    assert (kept(home), sorted(path.name for path in home.iterdir())) == (before, ["entries", "log.csv", "tests.csv"])


@pytest.mark.parametrize("verb", WRITING)
def test_a_folder_without_leave_to_write_ends_in_a_sentence(
    home: Path, verb: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    mkdir = os.mkdir

    def refused(path: Path, *mode: int) -> None:
        if Path(path).name == ".sealbook-draft":
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))
        mkdir(path, *mode)

    monkeypatch.setattr(os, "mkdir", refused)
    before = kept(home)
    result = CliRunner().invoke(main, writing(home)[verb])
    assert result.exit_code == 1
    assert result.stderr.endswith("Error: Nothing was written: Permission denied.\n")
    assert (kept(home), sorted(path.name for path in home.iterdir())) == (before, ["entries", "log.csv", "tests.csv"])


def test_two_runs_that_want_the_same_number(home: Path) -> None:
    """Each takes the next free number before it writes; the one that comes second is told and can be run again."""
    command = [sys.executable, "-m", "builder", *writing(home)["add"]]
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


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs processes that fork")
def test_every_verb_killed_at_any_step_did_all_or_nothing_and_the_next_run_tidies_up() -> None:
    memory = Path("/dev/shm")
    with TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        done = subprocess.run(
            [sys.executable, "-m", "tests.commands.killed_verbs", folder],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
        )
    assert (done.returncode, done.stderr) == (0, "")
    counted = {verb: int(number) for verb, number in (line.split() for line in done.stdout.splitlines())}
    assert set(counted) == set(WRITING)
    assert min(counted.values()) > 5, counted
