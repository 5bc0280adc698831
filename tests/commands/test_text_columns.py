"""Tables as plain text."""

from __future__ import annotations

from builder.commands.text_columns import in_columns

ROWS = [("wearer", "ratio"), ("blue-heron", "2.0"), ("–", "")]


def test_columns_are_as_wide_as_they_need() -> None:
    assert in_columns(ROWS) == ["wearer      ratio", "blue-heron  2.0", "–"]
    assert in_columns(ROWS, right=True) == ["wearer      ratio", "blue-heron    2.0", "–"]


def test_columns_may_be_wider_than_that() -> None:
    assert in_columns(ROWS, right=True, least=(0, 8)) == ["wearer         ratio", "blue-heron       2.0", "–"]


def test_no_rows_are_no_lines() -> None:
    assert in_columns([]) == []
