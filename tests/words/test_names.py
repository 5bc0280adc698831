"""Labels, addresses and printed figures."""

from __future__ import annotations

import math

import pytest

from builder.words import names


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
    assert names.figure(value) == text


def test_a_lower_limit_is_marked_and_nothing_is_not() -> None:
    assert names.fit(200.0, True) == "≥\u202f200"
    assert names.fit(200.0, False) == "200"
    assert names.fit(math.nan, True) == "–"


def test_addresses_keep_the_plus_of_a_configuration() -> None:
    assert names.configuration_address("cup+clip+tape") == "masks/cup/#cup+clip+tape"
    assert names.test_address("cup/2024-01-02-ann-1") == "masks/cup/#2024-01-02-ann-1"
    assert names.cell_address("4") == "faces/cell-4/"
    assert names.cell_address("outside") == "faces/outside/"


@pytest.mark.parametrize(("n", "says"), [(0, "No test"), (1, "One face"), (4, "Only 4"), (5, ""), (40, "")])
def test_small_numbers_are_said_in_words(n: int, says: str) -> None:
    assert says in names.small_n(n)
    assert bool(names.small_n(n)) == (n < 5)


def test_things_are_counted_in_words() -> None:
    assert [names.plural(n, "wearer") for n in (0, 1, 2)] == ["0 wearers", "1 wearer", "2 wearers"]
