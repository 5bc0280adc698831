"""What was probably meant is found alike wherever a name is mistyped."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import builder
from builder.records.nearest_words import nearest, plain

KNOWN = ["drum-cup", "drum-cap", "wide-frame", "thin-foam"]


@pytest.mark.parametrize(
    ("wanted", "most", "found"),
    [
        ("drum-cupp", 1, ["drum-cup"]),
        ("drum-cpu", 3, ["drum-cup", "drum-cap"]),
        ("thinfoam", 3, ["thin-foam"]),
        ("anvil", 3, []),
        ("", 3, []),
        ("drum-cup" + "x" * 1_000_000, 3, []),
    ],
)
def test_the_nearest_come_first(wanted: str, most: int, found: list[str]) -> None:
    assert nearest(wanted, KNOWN, most) == found
    assert nearest(wanted, reversed(KNOWN), most) == found


def test_words_are_compared_as_they_are_written() -> None:
    assert plain(" Short,  four_exercises ") == "short-four-exercises"


def test_nothing_else_guesses() -> None:
    """One measure of likeness: a second one would offer other names for the same slip."""
    for path in Path(builder.__file__).parent.rglob("*.py"):
        imported = {
            name.name if isinstance(node, ast.Import) else node.module
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Import | ast.ImportFrom)
            for name in node.names
        }
        assert "difflib" not in imported or path.name == "nearest_words.py", path
