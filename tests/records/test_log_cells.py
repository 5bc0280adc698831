"""Cells of readings that hold no number."""

from __future__ import annotations

import pytest

from builder.records.logs.log_cells import OddCell, odd_cell, unit_behind


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        (" n/a ", OddCell("missing_readings")),
        ("", OddCell("missing_readings")),
        ("#N/A", OddCell("missing_readings")),
        ("OL", OddCell("over_range")),
        ("Over Range", OddCell("over_range")),
        ("> 500 000", OddCell("over_range")),
        ("<0.01", OddCell("below_limit", "0.01")),
        ("≤ 0,5", OddCell("below_limit", "0,5")),
        ("<= 2", OddCell("below_limit", "2")),
        ("<low", None),
        ("twelve", None),
        ("12", None),
    ],
)
def test_what_stands_instead_of_a_number(text: str, meaning: OddCell | None) -> None:
    assert odd_cell(text) == meaning


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("12.5 s", "s"),
        ("1,200 #/cc", "#/cc"),
        ("3e3 1/cm³", "1/cm³"),
        ("7cps", "cps"),
        ("14:03:20 PM", ""),
        ("12 masks", ""),
        ("12", ""),
        ("s", ""),
    ],
)
def test_the_unit_behind_a_number(text: str, unit: str) -> None:
    assert unit_behind(text) == unit
