"""Printed figures and counted things."""

from __future__ import annotations

import math

import pytest

from builder.words import numbers
from builder.words.catalogue import count


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (1.0, "1"),
        (2.004, "2"),
        (38.04, "38"),
        (90.5, "90.5"),
        (99.96, "100"),
        (112.855, "113"),
        (1234.0, "1\u202f230"),
        (0.0523, "0.0523"),
        (math.nan, "–"),
    ],
)
def test_a_figure_has_three_significant_digits(value: float, text: str) -> None:
    assert numbers.figure(value) == text


def test_a_lower_limit_is_marked_and_nothing_is_not() -> None:
    assert numbers.fit(200.0, True) == "≥\u202f200"
    assert numbers.fit(200.0, False) == "200"
    assert numbers.fit(math.nan, True) == "–"


@pytest.mark.parametrize(("n", "says"), [(0, "No test"), (1, "One face"), (4, "Only 4"), (5, ""), (40, "")])
def test_small_numbers_are_said_in_words(n: int, says: str) -> None:
    assert says in numbers.small_n(n)
    assert bool(numbers.small_n(n)) == (n < 5)


def test_things_are_counted_in_words() -> None:
    assert [count("wearer", n) for n in (0, 1, 2)] == ["0 wearers", "1 wearer", "2 wearers"]
