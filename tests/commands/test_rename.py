"""`sealbook rename` shows every file, and every file follows."""

from __future__ import annotations

from pathlib import Path

from tests.commands.test_agreed_changes import CALLS, call
from tests.records.rewriting.bench import bench


def test_every_file_is_shown(tmp_path: Path) -> None:
    root = bench(tmp_path / "entries")
    assert call(root, *CALLS["rename"], "--yes").stdout == (
        "This changes 5 files:\n"
        "  masks/drum-cup.toml → masks/cup.toml\n"
        "  removed.toml\n"
        "  tests/drum-cup/2026-09-12-blue-heron-1.toml → tests/cup/2026-09-12-blue-heron-1.toml\n"
        "  tests/drum-cup/2026-09-12-blue-heron-2.toml → tests/cup/2026-09-12-blue-heron-2.toml\n"
        "  tests/drum-cup/2026-09-12-red-kite-1.toml → tests/cup/2026-09-12-red-kite-1.toml\n"
        "Done: 5 files.\n"
    )
