"""An evening at the counter by the real command: eight takes, one set aside, a new mask, a log; then by --watch."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from tests.commands.evening_logs import log
from tests.commands.forked_verbs import Verbs, forked_verbs
from tests.commands.test_watching import heed_signals
from tests.conftest import ROOT
from tests.records import samples

ENVIRONMENT = os.environ | {"PYTHONPATH": str(ROOT), "SEALBOOK_CACHE": os.devnull}
CLIP = """\
name = "Loop clip"
slot = "straps"
material = "plastic"
fitting = "Behind the head."
can_be_undone = true
"""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A repository with one mask, one part and one older test."""
    samples.write(tmp_path / "entries", {"parts/clip.toml": CLIP})
    for command in (["init", "-q"], ["add", "-A"]):
        subprocess.run(["git", *command], cwd=tmp_path, check=True)
    return tmp_path


def sealbook(home: Path, *arguments: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "builder", *arguments, "--entries", "entries"],
        cwd=home, env=ENVIRONMENT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, f"{arguments}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def kept(home: Path) -> list[tuple[str, dict[str, Any]]]:
    """The wearer's takes with their masks, in the order of the evening."""
    found = [tomllib.loads(path.read_text()) for path in home.glob("entries/tests/*/*-red-kite-*.toml")]
    return sorted(((take["mask"], take) for take in found), key=lambda one: (one[0], one[1]["conditions"]["order"]))


def test_an_evening_of_eight_takes(home: Path) -> None:
    with forked_verbs() as verbs:
        evening_of_eight_takes(home, partial(forked, verbs))


def forked(verbs: Verbs, home: Path, *arguments: str) -> str:
    """Run a verb in a process of its own; gives what it said."""
    (home / "said.txt").write_text("")
    code, complaints = verbs.run([*arguments, "--entries", str(home / "entries")], str(home / "said.txt"))
    said = (home / "said.txt").read_text()
    assert code == 0, f"{arguments}\n{said}\n{complaints}"
    return said


def evening_of_eight_takes(home: Path, sealbook: Callable[..., str]) -> None:
    who = ["--mask", "drum", "--wearer", "red-kite", "--contributor", "grey-bench", "--facial-hair", "none"]
    sealbook(home, "bench", "31,5", "--change", "as-sold", *who, "--protocol", "short", "--instrument", "cond")
    sealbook(home, "bench", "180", "--change", "clip")
    sealbook(home, "bench", "12")
    assert "fit factor 12. Set aside: The hose came off." in sealbook(
        home, "bench", "--set-aside", "The hose came off."
    )
    (home / "run.csv").write_text(log(200))
    told = sealbook(home, "bench", str(home / "run.csv"))
    assert "Loop clip  180, (12), 200" in told
    assert "Loop clip: likely higher, " in told
    assert "One more donning as sold is worth it: " in told
    assert "as sold    31.5, 36" in sealbook(home, "bench", "36", "--change", "as")
    # A mask that nobody has entered yet.
    sealbook(home, "new", "mask", "--model", "Kettle", "--maker", "Example Works", "--style", "cup", "--class", "ffp2")
    sealbook(home, "bench", "75", "--mask", "ket", "--change", "as-sold")
    sealbook(home, "bench", "80")
    last = sealbook(home, "bench", "160", "--change", "clip")
    assert last.startswith("Take 3: Kettle, Loop clip on red-kite, fit factor 160.\n\nas sold    75, 80\n")

    takes = kept(home)
    assert [mask for mask, _ in takes] == ["drum-cup"] * 5 + ["kettle"] * 3
    assert [take["conditions"]["order"] for _, take in takes] == [1, 2, 3, 4, 5, 1, 2, 3]
    assert {take["conditions"]["instrument"] for _, take in takes} == {"condensation-counter"}
    assert takes[2][1]["result"]["set_aside"] == "The hose came off."
    assert takes[3][1]["result"]["counts"][0] == {"phase": "ambient", "seconds": 20, "particles": 119970}
    assert sealbook(home, "check").endswith("13 files, no problems\n")
    compared = json.loads(sealbook(home, "compare", "drum-cup", "drum-cup+clip", "--format", "json"))
    assert (compared["n_a"], compared["n_b"], compared["verdict"]) == (2, 2, "likely")
    # What the bench remembers is nobody's business but the tester's.
    listed = subprocess.run(
        ["git", "status", "--porcelain", "-uall"], cwd=home, capture_output=True, text=True, check=True
    )
    assert ".sealbook" not in listed.stdout
    assert listed.stdout.count("red-kite") == 8


@pytest.fixture
def started() -> Iterator[list[subprocess.Popen[str]]]:
    """What was started, which a test that fails leaves running no more than one that passes."""
    running: list[subprocess.Popen[str]] = []
    yield running
    for one in running:
        one.kill()
        one.wait()


def test_the_same_by_watching(home: Path, started: list[subprocess.Popen[str]]) -> None:
    logs = home / "logs"
    logs.mkdir()
    (logs / "yesterday.csv").write_text(log(99))
    who = ["--mask", "drum", "--wearer", "red-kite", "--contributor", "grey-bench", "--facial-hair", "none"]
    sealbook(home, "plan", "drum-cup", "--vary", "straps=clip", "--wearer", "red-kite", "--facial-hair", "none",
             "--protocol", "short-four-exercise", "--write", "entries")  # fmt: skip
    command = [sys.executable, "-m", "builder", "bench", "--watch", "logs", *who, "--entries", "entries"]
    started.append(running := start(home, command))
    readings = iter((30, 180, 200, 36))
    for number in range(2):
        (logs / f"run {number}.csv").write_text(log(next(readings)))
        wait_for(home, number + 1, running)
    running.kill()
    running.wait()
    for number in (2, 3):
        (logs / f"run {number}.csv").write_text(log(next(readings)))
        time.sleep(0.02)
    started.append(running := start(home, command))
    wait_for(home, 4, running)
    # The hose came off in the last; then a new mask.
    sealbook(home, "bench", "--set-aside", "The hose came off.")
    sealbook(home, "new", "mask", "--model", "Kettle", "--maker", "Example Works", "--style", "cup", "--class", "ffp2")
    sealbook(home, "bench", "--mask", "kettle", "--change", "as-sold")
    for number, reading in enumerate((75, 80, 85, 90), start=4):
        (logs / f"run {number}.csv").write_text(log(reading))
        wait_for(home, number + 1, running)
    # Once the same log under another name is told of, all that there is to say of the last take is said.
    (logs / "copy.csv").write_text(log(90))
    wait_until(home, "\ncopy.csv holds the same as run 7.csv, which is take ", running)
    running.send_signal(signal.SIGINT)
    running.wait()
    said = (home / "said.txt").read_text()
    assert running.returncode == 0, said
    assert "Traceback" not in said
    takes = kept(home)
    assert [mask for mask, _ in takes] == ["drum-cup"] * 4 + ["kettle"] * 4
    assert [take.get("configuration", {}).get("straps") for _, take in takes[:4]] == [None, "clip", "clip", None]
    assert takes[3][1]["result"]["set_aside"] == "The hose came off."
    assert sealbook(home, "check").endswith("13 files, no problems\n")


def start(home: Path, command: list[str]) -> subprocess.Popen[str]:
    """Start watching, and wait until the folder is looked at."""
    before = (home / "said.txt").read_text() if (home / "said.txt").exists() else ""
    with (home / "said.txt").open("a") as said:
        running = subprocess.Popen(
            command,
            cwd=home,
            env=ENVIRONMENT,
            stdout=said,
            stderr=said,
            text=True,
            preexec_fn=heed_signals,  # noqa: PLW1509 (one thread)
        )
    wait_until(home, "Watching", running, before=before)
    return running


def wait_until(home: Path, words: str, running: subprocess.Popen[str], *, before: str = "", times: int = 1) -> None:
    """Until the program has said some words so many times, after what was said before."""
    while (said := (home / "said.txt").read_text()).removeprefix(before).count(words) < times:
        assert running.poll() is None, said
        time.sleep(0.1)


def wait_for(home: Path, takes: int, running: subprocess.Popen[str]) -> None:
    """Until so many takes are said to be written: one whose writing is stopped is taken back, and again made later."""
    wait_until(home, "\nwrote entries/tests/", running, times=takes)
    logged = [
        path for path in home.glob("entries/tests/*/*-red-kite-*.toml") if "[[result.counts]]" in path.read_text()
    ]
    assert len(logged) == takes
