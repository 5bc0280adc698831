"""Chances in words never promise more than they carry."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.words.chances import chance_text, in_people, in_words, interval_text, of_ten, percent, ranked_chance


@pytest.mark.parametrize(
    ("chance", "text", "words"),
    [
        (0.0, "under 5 %", "1 in 20"),
        (0.024, "under 5 %", "1 in 20"),
        (0.025, "about 5 %", "1 in 20"),
        (0.33, "about 35 %", "7 in 20"),
        (0.5, "about 50 %", "1 in 2"),
        (0.76, "about 75 %", "3 in 4"),
        (0.974, "about 95 %", "19 in 20"),
        (1.0, "over 95 %", "19 in 20"),
    ],
)
def test_figures_and_words(chance: float, text: str, words: str) -> None:
    assert chance_text(chance) == text
    assert in_words(chance) == words


@given(st.floats(0, 1))
def test_rounding_moves_a_chance_by_half_a_step_at_most(chance: float) -> None:
    assert abs(percent(chance) - 100 * chance) <= 2.5 + 1e-9
    assert percent(chance) % 5 == 0


def test_intervals() -> None:
    assert interval_text(0.58, 0.91) == "60–90 %"
    assert interval_text(0.79, 0.81) == "about 80 %"
    assert interval_text(0.98, 0.999) == "over 95 %"


def test_a_very_wide_interval_leaves_no_percentage() -> None:
    assert ranked_chance(0.6, little_known=True) == "little is known"
    assert ranked_chance(0.6, little_known=False) == "about 60 %"


@pytest.mark.parametrize(
    ("chance", "text"),
    [
        (0.0, "fewer than 1 of 10 people like you"),
        (0.06, "fewer than 1 of 10 people like you"),
        (0.1, "1 of 10 people like you"),
        (0.66, "6 to 7 of 10 people like you"),
        (0.9, "9 of 10 people like you"),
        (0.94, "more than 9 of 10 people like you"),
        (1.0, "more than 9 of 10 people like you"),
    ],
)
def test_of_ten_people(chance: float, text: str) -> None:
    assert of_ten(chance) == text


def test_a_chance_within_a_sentence_is_a_count_of_people() -> None:
    said = [in_people(chance) for chance in (0.0, 0.05, 0.1, 0.35, 0.8, 0.94, 0.99)]
    assert said == [
        "fewer than 1 of 10",
        "fewer than 1 of 10",
        "about 1 of 10",
        "3 to 4 of 10",
        "about 8 of 10",
        "more than 9 of 10",
        "more than 9 of 10",
    ]
