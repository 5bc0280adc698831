"""Runs verbs as the system runs them, each in a process of its own, without importing everything for each.

The program (`python -m tests.commands.forked_verbs SOCKET`) imports what verbs import, then forks for every call it is
sent. A fork has its own standard input, output and error, and ends as Python ends, but for taking all that was imported
apart again: what was not printed by then is flushed, and where that fails Python's complaint stands last.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import pkgutil
import runpy
import socket
import subprocess
import sys
import tempfile
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO

from tests.conftest import ROOT


@dataclass(frozen=True)
class Verbs:
    """The running program."""

    asked: IO[str]
    answers: IO[str]

    def run(self, call: list[str], stdout: str = os.devnull) -> tuple[int, list[str]]:
        """Run a verb; gives its exit code and the lines it complained in.

        What it prints goes to a file, or, for "", into a pipe that nobody reads from any more.
        """
        with tempfile.NamedTemporaryFile("r", encoding="utf-8") as complaints:
            self.asked.write(json.dumps([call, stdout, complaints.name]) + "\n")
            self.asked.flush()
            code = int(self.answers.readline())
            return code, complaints.read().splitlines()


@contextmanager
def forked_verbs() -> Iterator[Verbs]:
    """Have the program run, with no memory of earlier runs."""
    ours, theirs = socket.socketpair()
    command = [sys.executable, "-m", "tests.commands.forked_verbs", str(theirs.fileno())]
    environment = os.environ | {"SEALBOOK_CACHE": ""}
    with ours, theirs, subprocess.Popen(command, cwd=ROOT, env=environment, pass_fds=[theirs.fileno()]) as running:
        theirs.close()
        with ours.makefile("w") as asked, ours.makefile("r") as answers:
            yield Verbs(asked, answers)
        ours.close()
        assert running.wait() == 0


def become(call: list[str], stdout: str, complaints: str) -> int:
    """Be the process of a verb; gives its exit code."""
    reading, writing = os.pipe()
    os.close(reading)
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    os.dup2(os.open(stdout, os.O_WRONLY) if stdout else writing, 1)
    os.dup2(os.open(complaints, os.O_WRONLY), 2)
    # What Python found out of the old ones at its start holds for them alone.
    for place, name in enumerate(("stdin", "stdout", "stderr")):
        stream = open(place, "w" if place else "r", errors="backslashreplace", closefd=False)  # noqa: SIM115
        setattr(sys, name, stream)
        setattr(sys, f"__{name}__", stream)
    sys.argv = ["sealbook", *call]
    code = 1
    try:
        runpy.run_module("builder", run_name="__main__", alter_sys=True)
    except SystemExit as ended:
        code = ended.code if isinstance(ended.code, int) else 0 if ended.code is None else 1
    except BaseException:
        traceback.print_exc()
    try:
        sys.stdout.flush()
    except OSError as error:
        print(f"Exception ignored while flushing sys.stdout: {error!r}", file=sys.stderr)
        code = 120
    sys.stderr.flush()
    return code


def main(handle: int) -> None:
    """Fork for each call until nobody asks any more."""
    import builder

    for module in pkgutil.walk_packages(builder.__path__, "builder."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    gc.freeze()
    with socket.socket(fileno=handle) as ours, ours.makefile("r") as asked, ours.makefile("w") as answers:
        for line in asked:
            process = os.fork()
            if process == 0:
                os._exit(become(*json.loads(line)))
            answers.write(f"{os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])}\n")
            answers.flush()


if __name__ == "__main__":
    main(int(sys.argv[1]))
