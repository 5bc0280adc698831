"""How long a check takes beside nothing but reading and parsing the same files.

Both are timed in turn in one process, in processor time, so that other work of the machine does not decide. The aim is
a ratio of at most 2. Asked about one file, all are read as well; asked again, what was found is remembered.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Callable
from pathlib import Path

from builder.demo.scenario import generate
from builder.records.checking import check
from builder.records.toml_text import to_toml
from tests.bench.arguments import parser

ROUNDS = 3


def main(tests: int) -> None:
    """Write a tree of so many invented tests and print the times, in seconds."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for path, record in generate(tests, wearers=max(tests // 250, 10), masks=60, seed=1):
            (root / path).parent.mkdir(parents=True, exist_ok=True)
            (root / path).write_text(to_toml(record), encoding="utf-8")
        clock = time.process_time
        times = [(_seconds(lambda: _bare(root), clock), _seconds(lambda: check(root), clock)) for _ in range(ROUNDS)]
        for bare, checked in times:
            print(f"read and parse {bare:.2f} s, check {checked:.2f} s, ratio {checked / bare:.2f}")
        one = str(next((root / "tests").rglob("*.toml")))
        command = [sys.executable, "-m", "builder", "check", one, "--entries", folder]
        first, again = (_seconds(lambda: _run(command), time.perf_counter) for _ in range(2))
        print(f"one file of them, command from start to end: {first:.2f} s, again {again:.2f} s")


def _bare(root: Path) -> None:
    for path in root.rglob("*.toml"):
        tomllib.loads(path.read_bytes().decode())


def _run(command: list[str]) -> None:
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)


def _seconds(work: Callable[[], object], clock: Callable[[], float]) -> float:
    start = clock()
    work()
    return clock() - start


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("tests", nargs="?", type=int, default=5_000, help="invented tests")
    main(**vars(arguments.parse_args()))
