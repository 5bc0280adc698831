"""Pieces are made once for all that they are made of, in this run and in the next."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.records import pieces as module
from builder.records.memory import Memory
from builder.records.pieces import Pieces

KEY = "pieces-1"


def never() -> bytes:
    return pytest.fail("made again")


def test_a_piece_is_made_once_and_another_for_something_else(tmp_path: Path) -> None:
    pieces = Pieces(Memory(tmp_path), KEY)
    assert pieces.of(b"a", lambda: b"A") == b"A"
    assert pieces.of(b"a", never) == b"A"
    assert pieces.of(b"b", lambda: b"") == b""
    pieces.keep()
    again = Pieces(Memory(tmp_path), KEY)
    assert (again.of(b"b", never), again.of(b"a", never)) == (b"", b"A")
    assert Pieces(Memory(tmp_path), "pieces-2").of(b"a", lambda: b"other") == b"other"


def test_what_was_not_asked_for_is_forgotten_when_there_is_something_new(tmp_path: Path) -> None:
    first = Pieces(Memory(tmp_path), KEY)
    first.of(b"a", lambda: b"A")
    first.of(b"b", lambda: b"B")
    first.keep()
    second = Pieces(Memory(tmp_path), KEY)
    second.keep()
    assert second.of(b"b", never) == b"B"
    second.keep()
    assert Pieces(Memory(tmp_path), KEY).of(b"a", never) == b"A"
    second.of(b"c", lambda: b"C")
    second.keep()
    assert Pieces(Memory(tmp_path), KEY).of(b"b", never) == b"B"
    assert Pieces(Memory(tmp_path), KEY).of(b"a", lambda: b"anew") == b"anew"


def test_the_same_pieces_are_written_once_and_too_many_never(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pieces = Pieces(Memory(tmp_path), KEY)
    pieces.of(b"a", lambda: b"AA")
    monkeypatch.setattr(module, "MOST_BYTES", 1)
    pieces.keep()
    assert list(tmp_path.iterdir()) == []
    monkeypatch.setattr(module, "MOST_BYTES", 2)
    pieces.keep()
    again = Pieces(Memory(tmp_path), KEY)
    again.of(b"a", never)
    (tmp_path / KEY).unlink()
    again.keep()
    assert list(tmp_path.iterdir()) == []


def test_without_a_memory_pieces_last_as_long_as_they_are_held() -> None:
    pieces = Pieces()
    pieces.of(b"a", lambda: b"A")
    pieces.keep()
    assert pieces.of(b"a", never) == b"A"


def test_a_damaged_file_is_made_anew(tmp_path: Path) -> None:
    pieces = Pieces(Memory(tmp_path), KEY)
    pieces.of(b"a", lambda: b"A")
    pieces.keep()
    (tmp_path / KEY).write_bytes((tmp_path / KEY).read_bytes()[:-1])
    assert Pieces(Memory(tmp_path), KEY).of(b"a", lambda: b"anew") == b"anew"
