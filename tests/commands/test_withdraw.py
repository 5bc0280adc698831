"""`sealbook withdraw` says as data which files go, and its notes apart."""

from __future__ import annotations

import json
from pathlib import Path

from builder.records.rewriting.withdrawing import IN_HISTORY, REASON
from tests.commands.test_agreed_changes import CALLS, call
from tests.records.rewriting.bench import bench, held


def test_what_changes_as_data(tmp_path: Path) -> None:
    root = bench(tmp_path / "entries")
    result = call(root, *CALLS["withdraw"], "--yes", "--format", "json")
    told = json.loads(result.stdout)
    assert told["files"][1] == {
        "before": "tests/box-fold/2026-09-12-blue-heron-1.toml",
        "after": None,
        "what": "deleted",
    }
    assert told["notes"] == [IN_HISTORY]
    assert result.stderr.endswith("Done: 4 files.\n")
    table = call(root, "rename", "part", "strip", "slim-strip", "--yes", "--format", "csv").stdout.splitlines()
    assert table == [
        "before,after,what",
        "masks/box-fold.toml,masks/box-fold.toml,changed",
        "parts/strip.toml,parts/slim-strip.toml,moved",
        "removed.toml,removed.toml,changed",
        "tests/drum-cup/2026-09-12-red-kite-1.toml,tests/drum-cup/2026-09-12-red-kite-1.toml,changed",
    ]


def test_a_reason_of_ones_own(tmp_path: Path) -> None:
    root = bench(tmp_path / "entries")
    assert call(root, "withdraw", "contributor", "grey-bench", "--reason", "As wished.", "--yes").exit_code == 0
    listed = held(root)["removed.toml"].decode()
    assert listed.count('reason = "As wished."') == 2
    assert listed.count(REASON) == 1
