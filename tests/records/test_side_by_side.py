"""Tasks run over several processes give what they give one by one, whatever becomes of a process."""

from __future__ import annotations

import concurrent.futures
import os
import signal
import subprocess
import sys
import time
from functools import partial
from pathlib import Path

import pytest

from builder.fit.shared_work import one_by_one
from builder.records import side_by_side as module
from builder.records.memory import Memory
from builder.records.pieces import Pieces
from builder.records.side_by_side import side_by_side

ON_LINUX = pytest.mark.skipif(sys.platform != "linux", reason="processes are copied on Linux alone")


@pytest.fixture(autouse=True)
def _three_processors(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_processors", lambda: 3)


def meeting(folder: Path, here: int, number: int) -> tuple[int, int]:
    """Have the first task wait for one that another process does, where it is not done here after all."""
    (folder / f"{number} {os.getpid()}").touch()
    while number == 0 and os.getpid() != here and len({path.name.split()[1] for path in folder.iterdir()}) < 2:
        time.sleep(0.01)
    return number, os.getpid()


@ON_LINUX
def test_what_they_return_is_in_the_order_of_the_tasks_and_made_by_several(tmp_path: Path) -> None:
    found = side_by_side([partial(meeting, tmp_path, os.getpid(), number) for number in range(8)])
    assert [number for number, _ in found] == list(range(8))
    assert 1 < len({process for _, process in found} - {os.getpid()}) <= 3


@pytest.mark.parametrize(("processors", "platform"), [(1, "linux"), (3, "darwin"), (3, "win32")])
def test_where_a_process_cannot_be_copied_all_is_done_here(
    processors: int, platform: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "_processors", lambda: processors)
    monkeypatch.setattr(sys, "platform", platform)
    assert side_by_side([os.getpid, os.getpid]) == [os.getpid()] * 2


def test_nothing_to_do_gives_nothing() -> None:
    assert side_by_side([]) == one_by_one([]) == []


def test_what_a_task_raises_is_raised_here() -> None:
    def fails() -> int:
        raise ValueError("of this task")

    with pytest.raises(ValueError, match="of this task"):
        side_by_side([lambda: 1, fails, lambda: 3])
    assert side_by_side([lambda: 1, lambda: 2]) == [1, 2]


@ON_LINUX
def test_what_a_task_changes_is_known_to_nobody() -> None:
    changed: list[int] = []
    side_by_side([partial(changed.append, number) for number in range(3)])
    assert changed == []


@ON_LINUX
def test_what_an_ended_process_left_is_done_here() -> None:
    here = os.getpid()

    def ended_elsewhere() -> int:
        if os.getpid() != here:
            os.kill(os.getpid(), signal.SIGKILL)
        return os.getpid()

    assert side_by_side([ended_elsewhere, lambda: 2]) == [here, 2]


@pytest.mark.parametrize("fault", [ImportError, NotImplementedError, BlockingIOError])
def test_where_there_is_no_room_for_a_copy_all_is_done_here(
    fault: type[Exception], monkeypatch: pytest.MonkeyPatch
) -> None:
    def none_left(*_: object) -> None:
        raise fault("no room")

    monkeypatch.setattr(concurrent.futures.ProcessPoolExecutor, "submit", none_left)
    assert side_by_side([os.getpid, os.getpid]) == [os.getpid()] * 2


@ON_LINUX
def test_no_process_outlives_the_one_it_was_copied_from(tmp_path: Path) -> None:
    program = f"""
import os, time
from pathlib import Path
from builder.records import side_by_side as module
module._processors = lambda: 2
def waits(number):
    Path({str(tmp_path)!r}, str(os.getpid())).touch()
    time.sleep(60)
module.side_by_side([lambda: waits(1), lambda: waits(2)])
"""
    with subprocess.Popen([sys.executable, "-c", program]) as started:
        while len(copies := [int(path.name) for path in tmp_path.iterdir()]) < 2:
            assert started.poll() is None
            time.sleep(0.02)
        started.kill()
    while any(map(_runs, copies)):  # they would sleep for a minute
        time.sleep(0.02)


def _runs(process: int) -> bool:
    try:
        status = Path(f"/proc/{process}/stat").read_text()
    except OSError:  # it has ended, or does so now
        return False
    # One that has ended is there until somebody asks what became of it.
    return status.rpartition(")")[2].split()[0] != "Z"


@ON_LINUX
def test_pieces_made_in_copies_are_known_here(tmp_path: Path) -> None:
    def made(pieces: Pieces, name: bytes) -> bytes:
        return pieces.of(name, lambda: b"made of " + name)

    before = Pieces(Memory(tmp_path), "pieces")
    made(before, b"kept")
    before.keep()
    pieces = Pieces(Memory(tmp_path), "pieces")
    names = [b"kept", b"a", b"b", b"a"]
    assert pieces.known_from(side_by_side, [partial(made, pieces, name) for name in names]) == [
        b"made of " + n for n in names
    ]
    for name in names:
        assert pieces.of(name, lambda: pytest.fail("made again")) == b"made of " + name
    pieces.keep()
    again = Pieces(Memory(tmp_path), "pieces")
    assert [again.of(name, lambda: pytest.fail("made again")) for name in names]
