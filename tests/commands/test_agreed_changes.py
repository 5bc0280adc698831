"""`rename`, `split`, `join`, `withdraw`: what changes is shown first, then all of it is done, or nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.commands import agreed_changes
from builder.records.checking import check
from tests.records import samples
from tests.records.rewriting.bench import TODAY, bench, held

NOW = ("--date", TODAY.isoformat())
CALLS = {
    "rename": ("rename", "mask", "drum-cup", "cup"),
    "split": ("split", "drum-cup", "--size", "cup-s=S", "--size", "cup-m=M", "--rest", "cup-m"),
    "join": ("join", "blue-heron", "red-kite"),
    "withdraw": ("withdraw", "wearer", "blue-heron"),
}  # fmt: skip


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return bench(tmp_path / "entries")


def call(root: Path, *arguments: str, given: str | None = None) -> Result:
    return CliRunner().invoke(main, [*arguments, "--entries", str(root), *NOW], input=given)


@pytest.mark.parametrize("verb", CALLS)
def test_without_agreement_nothing_is_written(root: Path, verb: str, monkeypatch: pytest.MonkeyPatch) -> None:
    before = held(root)
    result = call(root, *CALLS[verb])
    assert result.exit_code == 2
    assert "Error: Nothing was written. Say --yes to do it.\n" in result.stderr
    monkeypatch.setattr(agreed_changes, "_is_terminal", lambda: True)
    result = call(root, *CALLS[verb], given="n\n")
    assert (result.exit_code, result.stderr) == (1, "Do this? [y/N]: n\nNothing was written.\n")
    assert held(root) == before
    result = call(root, *CALLS[verb], given="y\n")
    assert result.exit_code == 0
    assert held(root) != before


@pytest.mark.parametrize("verb", CALLS)
def test_check_is_clean_afterwards(root: Path, verb: str) -> None:
    result = call(root, *CALLS[verb], "--yes")
    assert result.exit_code == 0, result.output
    assert [problem for problem in check(root, today=TODAY).problems if problem.severity == "error"] == []


def test_a_long_list_is_cut(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(agreed_changes, "MOST_SHOWN", 2)
    assert "  removed.toml\n  … and 3 more\n" in call(root, *CALLS["rename"], "--yes").stdout


def test_what_stands_in_the_way_is_said_with_its_remedy(root: Path) -> None:
    before = held(root)
    result = call(root, "rename", "mask", "drum-cap", "box-fold", "--yes")
    assert (result.exit_code, result.stdout, result.stderr) == (
        1,
        "",
        "There is no mask drum-cap.\n    → Did you mean drum-cup?\n"
        "masks/box-fold.toml is there already.\n    → Choose another id.\nNothing was written.\n",
    )
    (root / samples.PART_PATH).write_text("name = ")
    assert "thin-foam.toml:1 error syntax" in call(root, *CALLS["rename"], "--yes").stderr
    (root / samples.PART_PATH).write_text(samples.PART)
    assert held(root) == before
