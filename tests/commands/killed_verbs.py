"""Kills every verb that writes before each of its steps on the disk, runs the next, and looks at what is left.

Run as `python -m tests.commands.killed_verbs FOLDER`; prints how many kills each verb had. It is a program of
its own so that it can fork from a process with one thread.
"""

from __future__ import annotations

import io
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

from builder.cli import main as sealbook
from tests.commands.every_verb import WRITING, kept, laid_out, writing
from tests.records.killed_writer import DONE, child

NEW_FOLDERS = {"export", "demo", "start"}
"""Verbs that fill a folder of their own: the next run is the same one once more."""
SELDOM = {"export": 9, "demo": 5, "start": 3}
"""Verbs that take long before they write, or write many files alike, are killed before every so manieth step."""


def call(home: Path, verb: str) -> None:
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        sealbook(writing(home)[verb], standalone_mode=False)


def tidied(home: Path, verb: str) -> None:
    """Run what a person runs next."""
    again = writing(home)[verb] if verb in NEW_FOLDERS else ["check", "--entries", str(home / "entries")]
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        try:
            sealbook(again, standalone_mode=False)
        except Exception as error:
            # Nothing was left to do: the folder is filled already.
            assert "already and not empty" in str(error), error


def texts_of(home: Path) -> dict[str, str]:
    return {path: content.decode("utf-8", "surrogateescape") for path, content in kept(home).items()}


def kills(folder: Path, verb: str) -> Iterator[int]:
    """Kill the verb before each of its steps; gives the number of each."""
    call(laid_out(folder / "whole"), verb)
    old, new = texts_of(laid_out(folder / "old")), texts_of(folder / "whole")
    new = {path: text.replace(str(folder / "whole"), "HOME") for path, text in new.items()}
    for number in range(1, 2000, SELDOM.get(verb, 1)):
        home = laid_out(folder / "home")
        ended = child(lambda home=home: call(home, verb), number)  # type: ignore[misc]
        tidied(home, verb)
        found = {path: text.replace(str(home), "HOME") for path, text in texts_of(home).items()}
        wanted = [new] if verb in NEW_FOLDERS or ended == DONE else [old, new]
        assert found in wanted, f"{verb} killed before {number}: {sorted(found)}"
        assert not [path for path in found if "/.sealbook-" in path]
        shutil.rmtree(home)
        if ended == DONE:
            return
        yield number


def main(folder: Path) -> None:
    """Kill everything."""
    os.environ["SEALBOOK_CACHE"] = ""
    for verb in WRITING:
        print(verb, sum(1 for _ in kills(folder / verb, verb)), flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
