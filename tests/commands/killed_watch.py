"""Kills a watch before every step on the disk, starts it again, and looks at what is left.

Run as `python -m tests.commands.killed_watch FOLDER`; prints how many kills there were. A program of its own so that it
can fork from a process with one thread.
"""

from __future__ import annotations

import shutil
import sys
from datetime import date
from pathlib import Path

from builder.commands.bench_take import Bench, make_take
from builder.commands.watching import Watch
from builder.records.checking import check
from builder.records.kept_bench import KeptBench
from builder.records.overall import overall
from builder.records.watched_folder import WatchedFolder
from builder.records.writing_files import settle
from tests.commands.evening_logs import log
from tests.records import samples
from tests.records.killed_writer import KILLED, child, visible

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


def main(folder: Path) -> None:
    """Kill everywhere."""
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
    print(kills)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
