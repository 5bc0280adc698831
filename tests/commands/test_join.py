"""`sealbook join` names faces that contradict each other with file and line."""

from __future__ import annotations

from pathlib import Path

from tests.commands.test_agreed_changes import CALLS, call
from tests.records.rewriting.bench import bench, held


def test_two_spellings_become_one(tmp_path: Path) -> None:
    root = bench(tmp_path / "entries")
    result = call(root, *CALLS["join"], "--yes")
    path = "tests/drum-cup/2026-09-12-{}.toml"
    assert f"  {path.format('red-kite-1')} → {path.format('blue-heron-8')}\n" in result.stdout


def test_two_people_stay_two(tmp_path: Path) -> None:
    root = bench(tmp_path / "entries")
    path = root / "tests/drum-cup/2026-09-12-red-kite-1.toml"
    path.write_bytes(path.read_bytes().replace(b"length_mm = 117", b"length_mm = 118"))
    before = held(root)
    result = call(root, *CALLS["join"], "--yes")
    assert (result.exit_code, result.stderr) == (
        1,
        f"{path.as_posix()}:10 error same-face  face.length_mm\n"
        "    blue-heron has 118 × 138 mm here, but 117 × 138 mm in "
        f"{(root / 'tests/box-fold/2026-09-12-blue-heron-1.toml').as_posix()}:11.\n"
        "    → Correct the one that is wrong; another face needs another pseudonym.\n"
        "These are not one face.\n"
        "    → Correct the one that is wrong; if both are right, join nobody.\n"
        "Nothing was written.\n",
    )
    assert held(root) == before
