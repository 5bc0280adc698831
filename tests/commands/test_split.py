"""`sealbook split` takes ids with sizes, and says where each test goes."""

from __future__ import annotations

from pathlib import Path

from builder.records.checking import check
from tests.commands.test_agreed_changes import CALLS, call
from tests.records.rewriting.bench import TODAY, bench


def test_tests_of_a_wearer_and_the_rest(tmp_path: Path) -> None:
    root = bench(tmp_path / "entries")
    result = call(root, *CALLS["split"], "--goes", "red-kite=cup-s", "--yes")
    assert result.exit_code == 0, result.output
    assert "  masks/cup-m.toml (new)\n" in result.stdout
    masks = [record.test.mask for record in check(root, today=TODAY).entries.tests]
    assert masks == ["box-fold", "cup-m", "cup-m", "cup-s"]


def test_a_size_needs_an_id_and_what_is_printed(tmp_path: Path) -> None:
    root = bench(tmp_path / "entries")
    result = call(root, "split", "drum-cup", "--size", "cup-s", "--yes")
    assert result.exit_code == 2
    assert "--size needs two things joined by =, not cup-s." in result.stderr
