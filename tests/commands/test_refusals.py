"""What the system refuses, in every verb: an exit code and one plain line, never a traceback, nothing half done."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from builder.cli import VERBS
from tests.commands.every_verb import WRITING, kept, laid_out, reading, writing
from tests.commands.forked_verbs import Verbs, forked_verbs
from tests.review.repository import start

UNPRINTED = "Error: What there is to say could not be printed: No space left on device."


def calls(home: Path) -> dict[str, list[str]]:
    return reading(home) | writing(home)


@pytest.fixture(scope="module")
def verbs() -> Iterator[Verbs]:
    """What runs a verb; it complains in plain sentences only."""
    with forked_verbs() as verbs:
        yield verbs


def run(verbs: Verbs, call: list[str], stdout: str = os.devnull) -> tuple[int, list[str]]:
    """Give the exit code and the lines of complaint."""
    code, said = verbs.run(call, stdout)
    assert "Traceback" not in "\n".join(said), said
    return code, said


def leftovers(home: Path) -> list[str]:
    return [path for path in kept(home) if "/.sealbook-" in path]


def test_every_verb_is_tried() -> None:
    assert set(calls(Path())) == set(VERBS), "tests/commands/every_verb.py has a call of each verb"


@pytest.fixture
def home(tmp_path: Path) -> Path:
    start(laid_out(tmp_path))
    return tmp_path


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
@pytest.mark.parametrize("verb", VERBS)
def test_what_cannot_be_printed_is_said_in_one_line(verbs: Verbs, home: Path, verb: str) -> None:
    code, said = run(verbs, calls(home)[verb], "/dev/full")
    assert (code, said[-1]) == (1, UNPRINTED)
    assert not leftovers(home)


@pytest.mark.parametrize("verb", VERBS)
def test_who_reads_may_stop_listening(verbs: Verbs, home: Path, verb: str) -> None:
    code, said = run(verbs, calls(home)[verb], stdout="")
    assert code == 1
    assert not [line for line in said if "pipe" in line.lower()]
    assert not leftovers(home)


@contextmanager
def small_disk(folder: Path, *, size: str) -> Iterator[None]:
    mount = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
    if subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("only the superuser can mount a small disk")
    try:
        yield
    finally:
        subprocess.run(["umount", "--lazy", str(folder)], check=True)


@pytest.mark.parametrize("verb", VERBS)
def test_a_disk_that_is_read_only_or_full(verbs: Verbs, tmp_path: Path, verb: str) -> None:
    """Verbs that read work as ever; those that write say why not, and leave everything as it was."""
    with small_disk(tmp_path, size="2m"):
        start(laid_out(tmp_path))
        before = kept(tmp_path)
        subprocess.run(["mount", "-o", "remount,ro", str(tmp_path)], check=True)
        tried = [("Read-only file system", run(verbs, calls(tmp_path)[verb]))]
        subprocess.run(["mount", "-o", "remount,rw", str(tmp_path)], check=True)
        filled = tmp_path / "filled"
        try:
            with filled.open("wb", buffering=0) as file:
                while file.write(bytes(4096)):
                    pass
        except OSError:
            pass
        tried.append(("No space left on device", run(verbs, calls(tmp_path)[verb])))
        filled.unlink()
        for reason, (code, said) in tried:
            if verb in WRITING:
                assert (code, said[-1:]) == (1, [f"Error: Nothing was written: {reason}."])
            else:
                assert code == 0, said
        assert kept(tmp_path) == before
