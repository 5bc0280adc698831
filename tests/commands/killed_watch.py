"""Kills the bench before every step on the disk, starts it again, and looks at what is left.

Run as `python -m tests.commands.killed_watch FOLDER`; prints how many kills there were of a watch, of a take taken back
and of one that fills a planned donning of another day. A program of its own so that it can fork from a process with one
thread.
"""

from __future__ import annotations

import shutil
import sys
from contextlib import redirect_stderr, redirect_stdout
from datetime import date
from io import StringIO
from pathlib import Path

from builder.cli import main as verbs
from builder.commands.bench_take import Bench, make_take
from builder.commands.watching import Watch
from builder.records.checking import check
from builder.records.kept_bench import KeptBench
from builder.records.overall import overall
from builder.records.watched_folder import WatchedFolder
from builder.records.writing_files import settle
from tests.commands.evening_logs import log
from tests.records import samples
from tests.records.killed_writer import KILLED, child, seen, visible

WHO = (
    ("mask", "drum-cup"),
    ("wearer", "red-kite"),
    ("contributor", "grey-bench"),
    ("facial_hair", "none"),
    ("protocol", "short-four-exercise"),
)
DAY = date(2024, 5, 18)


def evening(root: Path, logs: Path) -> None:
    """Watch until two logs that came have been there long enough."""
    watch = Watch(Bench(root, DAY, (), ()), WatchedFolder(logs), None, "", lambda taken: None)
    watch.begin()
    for now in range(4):
        watch.look(float(now))


def laid_out(folder: Path) -> tuple[Path, Path]:
    """Entries with a first take, and a folder that is watched already."""
    root, logs = samples.write(folder / "entries"), folder / "logs"
    logs.mkdir()
    make_take(Bench(root, DAY, ("as-sold",), WHO), {"fit_factor": 40.0})
    (logs / "old.csv").write_text(log(30))
    evening(root, logs)
    for name, fit_factor in (("one.csv", 50), ("two.csv", 60)):
        (logs / name).write_text(log(fit_factor))
    return root, logs


def told(root: Path) -> list[int]:
    """The wearer's fit factors, in the order of the takes."""
    tests = [record.test for record in check(root).entries.tests if record.test.face.wearer == "red-kite"]
    return [
        round(overall(test.result).fit_factor) for test in sorted(tests, key=lambda test: test.conditions.order or 0)
    ]


def killed_calls(folder: Path, *arguments: str) -> int:
    """Kill one call of the verb everywhere: all files are as before it or as after it."""
    whole = folder / "whole"
    planned_evening(whole)
    before = seen(whole)
    call(whole, *arguments)
    after = seen(whole)
    assert before != after
    shutil.rmtree(whole)
    kills = 0
    for step in range(1, 1000):
        root = folder / "again"
        planned_evening(root)
        ended = child(lambda root=root: call(root, *arguments), step)  # type: ignore[misc]
        settle(root)
        assert seen(root) in (before, after), f"{arguments} killed before {step}"
        shutil.rmtree(root)
        if ended != KILLED:
            return kills
        kills += 1
    return kills


def planned_evening(root: Path) -> None:
    """Two takes, and a donning that was planned for another day."""
    samples.write(root)
    for fit_factor in (40.0, 45.0):
        make_take(Bench(root, DAY, ("as-sold",), WHO), {"fit_factor": fit_factor})
    head, _, _ = samples.TEST.partition("\n[[result.exercise]]")
    planned = (
        head.replace("blue-heron", "red-kite").replace("2026-09-12", "2024-05-17").replace("length_mm = 117\n", "")
    )
    path = root / samples.TEST_PATH.replace("2026-09-12-blue-heron", "2024-05-17-red-kite")
    path.write_text(planned.replace("width_mm = 138\n", "").replace('nose_bridge = "high"\n', ""))


def call(root: Path, *arguments: str) -> None:
    """One call of the verb, which says nothing here."""
    with redirect_stdout(StringIO()), redirect_stderr(StringIO()):
        verbs(["bench", *arguments, "--date", str(DAY), "--entries", str(root), "--no-cache"], standalone_mode=False)


def main(folder: Path) -> None:
    """Kill everywhere."""
    print(killed_watch(folder))
    print(killed_calls(folder, "--undo"))
    print(killed_calls(folder, "60"))


def killed_watch(folder: Path) -> int:
    """Kill a watch: each log is one take after the next start."""
    kept = folder / "kept"
    kept.mkdir()
    laid_out(kept)
    kills = 0
    for step in range(1, 1000):
        again = folder / "again"
        shutil.copytree(kept, again)
        root, logs = again / "entries", again / "logs"
        # The folder that is remembered is the one of this copy.
        text = (root / ".sealbook-bench/bench.json").read_text().replace(str(kept / "logs"), str(logs))
        (root / ".sealbook-bench/bench.json").write_text(text)
        ended = child(lambda root=root, logs=logs: evening(root, logs), step)  # type: ignore[misc]
        settle(root)
        for path, content in visible(root).items():
            assert content.endswith("\n"), f"half of {path} after {step}"
        assert [p for p in check(root).problems if p.severity == "error"] == [], step
        KeptBench.of(root)
        assert told(root) in ([40], [40, 50], [40, 50, 60]), f"{told(root)} after {step}"
        evening(root, logs)
        assert told(root) == [40, 50, 60], f"{told(root)} after {step} and a second start"
        assert len(KeptBench.of(root).takes) == 3
        shutil.rmtree(again)
        if ended != KILLED:
            break
        kills += 1
    return kills


if __name__ == "__main__":
    main(Path(sys.argv[1]))
