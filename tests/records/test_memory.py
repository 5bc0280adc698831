"""What is remembered is what would be worked out: whatever happens to the files, and to the memory itself."""

from __future__ import annotations

import os
import random
import stat
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.cli import main
from builder.records import memory as module
from builder.records.memory import PLACE, Memory, digest_of
from tests.conftest import FIXTURE_KEPT
from tests.records import samples

KEY = "answer-1"
FILES = st.dictionaries(st.text(max_size=4), st.binary(max_size=4), max_size=4)


def test_what_was_kept_is_recalled(tmp_path: Path) -> None:
    memory = Memory(tmp_path / "memory")
    assert memory.recall(KEY) is None
    memory.keep(KEY, b"forty-two")
    assert memory.recall(KEY) == b"forty-two"
    assert stat.S_IMODE((tmp_path / "memory").stat().st_mode) == 0o700


def test_without_a_folder_nothing_is_kept() -> None:
    Memory().keep(KEY, b"x")
    assert Memory().recall(KEY) is None


@pytest.mark.parametrize(
    "damaged", [lambda c: c[:-1], lambda c: c + b"x", lambda c: b"", lambda c: c[:40] + b"!" + c[41:]]
)
def test_what_is_damaged_is_not_recalled(tmp_path: Path, damaged: Callable[[bytes], bytes]) -> None:
    memory = Memory(tmp_path)
    memory.keep(KEY, b"a" * 100)
    (tmp_path / KEY).write_bytes(damaged((tmp_path / KEY).read_bytes()))
    assert memory.recall(KEY) is None


def test_an_answer_under_another_key_is_not_recalled(tmp_path: Path) -> None:
    memory = Memory(tmp_path)
    memory.keep(KEY, b"one")
    (tmp_path / KEY).rename(tmp_path / "answer-2")
    assert memory.recall("answer-2") is None


def test_a_place_that_cannot_be_written_is_no_fault(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    memory = Memory(tmp_path / "file" / "below")
    memory.keep(KEY, b"x")
    assert memory.recall(KEY) is None


def test_the_oldest_answers_make_room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_FILES", 3)
    memory = Memory(tmp_path)
    for number in range(5):
        memory.keep(f"answer-{number}", b"x")
        os.utime(tmp_path / f"answer-{number}", (number, number))
    memory.keep("answer-5", b"x")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["answer-3", "answer-4", "answer-5"]


def test_two_at_once_leave_one_whole_answer(tmp_path: Path) -> None:
    memory = Memory(tmp_path)
    answers = [bytes([65 + n]) * 200_000 for n in range(4)]
    threads = [threading.Thread(target=memory.keep, args=(KEY, answer)) for answer in answers for _ in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert memory.recall(KEY) in answers
    assert [path.name for path in tmp_path.iterdir()] == [KEY]


@given(FILES, FILES)
def test_other_files_have_another_fingerprint(one: dict[str, bytes], two: dict[str, bytes]) -> None:
    assert (digest_of(one) == digest_of(two)) == (list(one.items()) == list(two.items()))


def said(arguments: list[str]) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, arguments)
    return result.exit_code, result.stdout, result.stderr


def _edit(root: Path, dice: random.Random) -> None:
    """Do to one file, at random, what people, programs and accidents do to files."""
    files = sorted(path for path in root.rglob("*") if path.is_file())
    file, other = dice.choice(files), dice.choice(files)
    content, at = file.read_bytes(), dice.randrange(200)
    match dice.randrange(8):
        case 0:
            file.write_bytes(content.replace(b"fit_factor = ", b"fit_factor = %d" % dice.randrange(1, 9)))
        case 1:
            file.write_bytes(content.replace(b"date = 20", b"date = 29"))
        case 2:
            file.write_bytes(content[:at] + dice.choice([b"\0", b"x", b"=", b"\n[", b"\xe9"]) + content[at:])
        case 3 if len(files) > 4:
            file.unlink()
        case 4:
            file.with_name(f"{file.stem}0{file.suffix}").write_bytes(content)
        case 5:
            file.write_bytes(other.read_bytes())
            other.write_bytes(content)
        case 6:
            file.touch()
        case _:
            file.write_bytes(content.replace(b"high", b"low"))


@settings(max_examples=10, suppress_health_check=FIXTURE_KEPT)
@given(st.integers(0, 2**32))
def test_with_and_without_memory_every_verb_says_the_same(
    tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    dice, home = random.Random(seed), tmp_path_factory.mktemp("home")
    memory = home / "memory"
    monkeypatch.setenv(PLACE, str(memory))
    root = samples.write(home / "entries")
    for number in range(2, 5):
        more = (root / samples.TEST_PATH).with_name(f"2026-09-12-blue-heron-{number}.toml")
        more.write_text(samples.TEST.replace("fit_factor = 50", f"fit_factor = {50 + number}"))
    states: list[dict[Path, bytes]] = []
    for _ in range(4):
        if states and dice.random() < 0.3:  # back to what was there before, as git does
            for path in [path for path in root.rglob("*") if path.is_file()]:
                path.unlink()
            for path, content in dice.choice(states).items():
                path.write_bytes(content)
        else:
            _edit(root, dice)
        states.append({path: path.read_bytes() for path in root.rglob("*") if path.is_file()})
        for verb in (["check", "--format", "json"], ["summary", "--format", "json"]):
            arguments = [*verb, "--entries", str(root)]
            anew = said([*arguments, "--no-cache"])
            assert said(arguments) == anew
            assert said(arguments) == anew
        if dice.random() < 0.3:
            for kept in memory.iterdir():
                kept.write_bytes(kept.read_bytes()[: dice.randrange(60)])
