"""Kills a writer before every step on the disk, and every run that tidies up after it, and looks at what is left.

Run as `python -m tests.records.killed_writer FOLDER`; prints how many kills there were. It is a program of its own so
that it can fork from a process with one thread.
"""

from __future__ import annotations

import errno
import os
import shutil
import signal
import sys
import traceback
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder.records.writing_files import settle, write_files

OLD = {"masks/cup.toml": "old cup\n", "tests/cap/wrong.toml": "old test\n", "parts/clip.toml": "old clip\n"}
FILES: dict[str, str | bytes] = {
    "masks/cup.toml": "new cup\n",
    "masks/kettle.toml": "new kettle\n",
    "tests/cup/right.toml": "new test\n",
    "tests/kettle/one.toml": b"new test of the kettle\n",
}
INSTEAD_OF = {"masks/cup.toml": "masks/cup.toml", "tests/cup/right.toml": "tests/cap/wrong.toml"}
NEW = {path: text for path, text in OLD.items() if path != "tests/cap/wrong.toml"} | {
    path: text if isinstance(text, str) else text.decode() for path, text in FILES.items()
}
STEPS = ("mkdir", "rmdir", "link", "rename", "replace", "unlink", "chmod", "fsync", "sync", "write")
"""Functions of `os` by which a writer changes the disk; `write` stands for opening a file to write to."""

DONE, KILLED, FAILED = 0, 1, 2


@dataclass(frozen=True)
class Refusal:
    """The error that a link meets at places that end so."""

    error: int
    place: str


FULL = Refusal(errno.ENOSPC, "kettle/one.toml")
NO_LINKS = Refusal(errno.EPERM, "")


def seen(root: Path) -> dict[str, str]:
    """Every file below a folder with its text."""
    return {path.relative_to(root).as_posix(): path.read_text() for path in sorted(root.rglob("*")) if path.is_file()}


def visible(root: Path) -> dict[str, str]:
    """The files that are not hidden."""
    return {path: text for path, text in seen(root).items() if not path.startswith(".")}


def laid_out(root: Path) -> None:
    """Put the old files there."""
    for path, text in OLD.items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_text(text)


def child(work: Callable[[], object], kill_before: int, refuse: Refusal | None = None) -> int:
    """Do some work in a process that is killed before a step, counted from 1.

    Gives DONE, KILLED, or FAILED where the work ended with an OSError.
    """
    process = os.fork()
    if process == 0:
        outcome = 3
        try:
            _count_steps(kill_before, refuse)
            work()
            outcome = DONE
        except OSError:
            outcome = FAILED
        except BaseException:
            traceback.print_exc()
        finally:
            os._exit(outcome)
    _, status = os.waitpid(process, 0)
    if os.WIFSIGNALED(status):
        assert os.WTERMSIG(status) == signal.SIGKILL
        return KILLED
    assert os.WEXITSTATUS(status) in (DONE, FAILED)
    return os.WEXITSTATUS(status)


def _count_steps(kill_before: int, refuse: Refusal | None) -> None:
    taken = 0

    def counted(step: Callable[..., Any]) -> Callable[..., Any]:
        def wrapped(*args: Any, **keywords: Any) -> Any:
            nonlocal taken
            taken += 1
            if taken == kill_before:
                os.kill(os.getpid(), signal.SIGKILL)
            if refuse and step is link and str(args[-1]).endswith(refuse.place):
                raise OSError(refuse.error, os.strerror(refuse.error))
            return step(*args, **keywords)

        return wrapped

    link = os.link
    open_file = Path.open

    def opened(path: Path, mode: str = "r", *args: Any, **keywords: Any) -> Any:
        return (write if mode != "r" else open_file)(path, mode, *args, **keywords)

    write = counted(open_file)
    Path.open = opened  # type: ignore[assignment, method-assign]
    for name in STEPS[:-1]:
        setattr(os, name, counted(getattr(os, name)))


def kills(folder: Path, refuse: Refusal | None = None) -> Iterator[tuple[int, int]]:
    """Kill the writer before each of its steps, then the run that tidies up before each of its own, and look.

    Gives the two numbers of each pair of kills.
    """
    number = 0
    for first in range(1, 1000):
        ended = KILLED
        for second in range(1 + first % 2, 1000, 2):
            root = folder / str(number)
            number += 1
            laid_out(root)
            ended = child(lambda root=root: write_files(root, FILES, INSTEAD_OF), first, refuse)  # type: ignore[misc]
            for path, text in visible(root).items():
                assert text in (OLD.get(path), NEW.get(path)), f"half of {path} after {first}"
            tidied = child(lambda root=root: settle(root), second, refuse)  # type: ignore[misc]
            settle(root)
            found = seen(root)
            assert found in (OLD, NEW), f"killed before {first}, then {second}: {found}"
            if ended != KILLED:
                assert found == (OLD if refuse is FULL else NEW)
            if refuse is FULL:
                assert sorted(path.name for path in (root / "tests").iterdir()) in (["cap"], ["cup", "kettle"])
            write_files(root, {"parts/tape.toml": "tape"})
            assert seen(root) == found | {"parts/tape.toml": "tape"}
            yield first, second
            shutil.rmtree(root)
            if tidied != KILLED:
                break
        if ended != KILLED:
            return


def main(folder: Path) -> None:
    """Kill everywhere: on a disk with room, on a full one, on one without hard links."""
    for refuse in (None, FULL, NO_LINKS):
        print(sum(1 for _ in kills(folder / str(refuse), refuse)))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
