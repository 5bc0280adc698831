"""`sealbook bench --watch`: every log becomes the next take once, whatever happens to files, folder and program."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from builder.commands import watching
from builder.commands.bench_take import Bench, Taken
from builder.commands.watching import Watch
from builder.records import writing_files
from builder.records.checking import check
from builder.records.kept_bench import KeptBench
from builder.records.overall import overall
from builder.records.watched_folder import WatchedFolder
from tests.commands.evening_logs import log
from tests.commands.test_bench import CLIP, TODAY, WHO, bench, takes
from tests.conftest import ROOT
from tests.records import samples


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = samples.write(tmp_path / "entries", {"parts/clip.toml": CLIP})
    bench(root, "--change", "as-sold", *WHO)
    return root


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    (tmp_path / "logs").mkdir()
    return tmp_path / "logs"


class Clock:
    """A watch whose clock goes on by what it is told."""

    def __init__(self, root: Path, folder: Path) -> None:
        self.now = 0.0
        self.taken: list[Taken] = []
        asked = Bench(root, date.today(), (), ())
        self.watch = Watch(asked, WatchedFolder(folder), None, "", self.taken.append)
        self.watch.begin()

    def go_on(self, seconds: float = 6.0) -> int:
        """Look every second for some seconds; gives the number of takes."""
        found = 0
        for _ in range(int(seconds)):
            self.now += 1
            found += self.watch.look(self.now)
        return found


def test_each_log_becomes_the_next_take(root: Path, logs: Path) -> None:
    clock = Clock(root, logs)
    (logs / "first.csv").write_text(log(50))
    assert clock.go_on() == 1
    bench(root, "--change", "clip")
    (logs / "second.csv").write_text(log(200))
    (logs / "third.csv").write_text(log(220))
    os.utime(logs / "second.csv", (1, 1))
    assert clock.go_on() == 2
    found = takes(root)
    assert [take.get("configuration") for take in found] == [None, {"straps": "clip"}, {"straps": "clip"}]
    assert [taken.order for taken in clock.taken] == [1, 2, 3]
    assert [round(value) for value in _fit_factors(root)] == [50, 200, 220]
    assert check(root).problems == []


def _fit_factors(root: Path) -> Iterator[float]:
    for record in check(root).entries.tests:
        if record.test.face.wearer == "red-kite":
            yield overall(record.test.result).fit_factor


def test_what_was_there_at_the_start_is_left(root: Path, logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (logs / "old.csv").write_text(log(50))
    clock = Clock(root, logs)
    assert clock.go_on() == 0
    assert capsys.readouterr().err == ""
    (logs / "copy.csv").write_text(log(50))
    assert clock.go_on() == 0
    assert capsys.readouterr().err == "copy.csv holds the same as old.csv, which was there before; it is left.\n"
    assert clock.go_on() == 0
    assert capsys.readouterr().err == ""


def test_the_same_log_twice_is_one_take(root: Path, logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clock = Clock(root, logs)
    (logs / "run.csv").write_text(log(50))
    assert clock.go_on() == 1
    capsys.readouterr()
    (logs / "copy.csv").write_text(log(50))
    assert clock.go_on() == 0
    said = capsys.readouterr().err
    assert said == (
        f"copy.csv holds the same as run.csv, which is take tests/drum-cup/{TODAY}-red-kite-1.toml; it is left.\n"
    )
    assert len(takes(root)) == 1


def test_a_log_taken_back_is_not_taken_again(root: Path, logs: Path) -> None:
    clock = Clock(root, logs)
    (logs / "run.csv").write_text(log(50))
    assert clock.go_on() == 1
    bench(root, "--undo")
    assert clock.go_on() == 0
    assert Clock(root, logs).go_on() == 0
    assert takes(root) == []


def test_what_is_no_log_is_said_once_and_left(root: Path, logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clock = Clock(root, logs)
    (logs / "notes.txt").write_text("Buy alcohol.\n")
    (logs / "picture.png").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(range(256)))
    assert clock.go_on(12) == 0
    said = capsys.readouterr().err
    assert said.count("is no log that can be read, and is left:") == 2
    assert "notes.txt is no log" in said
    again = Clock(root, logs)
    assert again.go_on() == 0
    assert capsys.readouterr().err == ""


def test_a_half_written_log_waits_and_one_renamed_too(root: Path, logs: Path) -> None:
    clock = Clock(root, logs)
    text = log(50)
    with (logs / "run.csv").open("w") as file:
        for start in range(0, len(text), 400):
            file.write(text[start : start + 400])
            file.flush()
            assert clock.go_on(1) == 0
    assert clock.go_on() == 1
    (logs / "next.csv.tmp").write_text(log(60))
    assert clock.go_on() == 0
    (logs / "next.csv.tmp").rename(logs / "next.csv")
    assert clock.go_on() == 1


def test_a_log_that_was_taken_too_early_is_said(root: Path, logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clock = Clock(root, logs)
    text = log(50)
    (logs / "run.csv").write_text(text)
    assert clock.go_on() == 1
    (logs / "run.csv").write_text(text + "161,ambient,,2000\n")
    assert clock.go_on() == 0
    assert (
        f"run.csv has grown from run.csv: it was take tests/drum-cup/{TODAY}-red-kite-1.toml before, and is left as it "
        "was.\n"
    ) in capsys.readouterr().err


def test_a_log_that_could_not_be_read_half_written_is_taken_whole(root: Path, logs: Path) -> None:
    clock = Clock(root, logs)
    text = log(50)
    (logs / "run.csv").write_text(text[:30])
    assert clock.go_on() == 0
    (logs / "run.csv").write_text(text)
    assert clock.go_on() == 1


def test_a_log_that_makes_no_sound_entry_is_left(root: Path, logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clock = Clock(root, logs)
    bench(root, "--change", "thin-foam")  # what the mask has as sold
    (logs / "run.csv").write_text(log(50))
    assert clock.go_on() == 0
    assert "run.csv became no take, and is left: Nothing was written.\n" in capsys.readouterr().err
    assert takes(root) == []


def test_a_folder_that_goes_and_comes_back(root: Path, logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clock = Clock(root, logs)
    logs.rename(logs.with_name("away"))
    assert clock.go_on() == 0
    assert capsys.readouterr().err == f"{logs} cannot be read now: No such file or directory.\n"
    logs.with_name("away").rename(logs)
    (logs / "run.csv").write_text(log(50))
    assert clock.go_on() == 1


def test_a_log_that_cannot_be_opened_yet_is_tried_again(
    root: Path, logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    clock = Clock(root, logs)
    (logs / "run.csv").write_text(log(50))

    def refused(path: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(watching, "read_log_bytes", refused)
    assert clock.go_on() == 0
    assert capsys.readouterr().err == "run.csv cannot be read now: Permission denied.\n"
    monkeypatch.undo()
    assert clock.go_on() == 1


def test_a_full_disk_costs_no_log(
    root: Path, logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    clock = Clock(root, logs)
    (logs / "run.csv").write_text(log(50))
    (logs / "notes.txt").write_text("Buy alcohol.\n")

    def full_disk(path: Path, content: bytes, *, flush: bool) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(writing_files, "write_new", full_disk)
    assert clock.go_on() == 0
    said = capsys.readouterr().err
    assert said.count("run.csv waits. Nothing was written: No space left on device.\n") == 1
    assert said.count("notes.txt is no log that can be read") == 1
    monkeypatch.undo()
    assert clock.go_on() == 1


def test_a_second_start_takes_what_came_in_between(root: Path, logs: Path) -> None:
    clock = Clock(root, logs)
    (logs / "first.csv").write_text(log(50))
    assert clock.go_on() == 1
    (logs / "second.csv").write_text(log(60))
    second = Clock(root, logs)
    assert second.go_on() == 1
    assert [round(value) for value in _fit_factors(root)] == [50, 60]


def test_a_sheet_is_filled_in_its_order(root: Path, logs: Path) -> None:
    bench(root, "drum-cup", "--vary", "straps=clip", "--wearer", "red-kite", "--facial-hair", "none", "--write",
          str(root), verb="plan")  # fmt: skip
    bench(root, "40")
    clock = Clock(root, logs)
    for number in range(3):
        (logs / f"{number}.csv").write_text(log(50 + number))
        assert clock.go_on() == 1
    found = takes(root)
    assert [take.get("configuration") for take in found] == [None, {"straps": "clip"}, {"straps": "clip"}, None]
    assert check(root).problems == []


def test_killed_at_any_step_nothing_is_lost(tmp_path: Path) -> None:
    """Each log is one take after the next start, wherever on the disk the watch was killed."""
    command = [sys.executable, "-m", "tests.commands.killed_watch", str(tmp_path)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert all(int(kills) > 15 for kills in done.stdout.split()), done.stdout
    assert len(done.stdout.split()) == 3


def heed_signals() -> None:
    """Have a program end by Ctrl-C also where a shell runs all tests in the background, which would ignore it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def test_the_command_watches_until_it_is_stopped(root: Path, logs: Path) -> None:
    command = [sys.executable, "-m", "builder", "bench", "--watch", str(logs), "--entries", str(root)]
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    running = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env=environment,
        preexec_fn=heed_signals,  # noqa: PLW1509 (one thread)
    )
    try:
        assert running.stdout is not None
        assert running.stdout.readline().startswith(f"Watching {logs}: each log saved there becomes the next take.")
        (logs / "run.csv").write_text(log(50))
        while not (line := running.stdout.readline()).startswith("Without --change"):  # the last of what is told
            assert line, "it has ended"
        assert len(takes(root)) == 1
        running.send_signal(signal.SIGINT)
        rest, _ = running.communicate()
    finally:
        running.kill()
    assert rest == "Stopped. The next start goes on from here.\n"
    assert running.returncode == 0


def test_what_a_take_needs_is_asked_before_the_first_log(tmp_path: Path, logs: Path) -> None:
    root = samples.write(tmp_path / "others")
    assert "\n  --wearer: " in bench(root, "--watch", str(logs), "--change", "as-sold", ends=2).output
    said = bench(root, "--watch", str(logs), *WHO, ends=2).output
    assert "Nothing says what is worn: --change as-sold, or --change PART for each part." in said
    assert KeptBench.of(root) == KeptBench()
