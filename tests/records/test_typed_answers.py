"""What somebody types when asked."""

from __future__ import annotations

from datetime import date

import pytest

from builder.records.typed_answers import UnclearError, day_typed, fit_factor_typed, number_typed, word_typed

WORDS = ["head-side-to-side", "head-up-and-down", "talking", "normal-breathing"]


@pytest.mark.parametrize(
    ("typed", "read"),
    [("31,5", "31.5"), (" 31.5 ", "31.5"), ("64", "64"), ("1.234", "1.234"), ("0,500", "0.500"), ("12,34", "12.34")],
)
def test_numbers(typed: str, read: str) -> None:
    assert number_typed(typed) == read


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("1,234", "1,234 could be 1.234 or 1234: write 1234, or one place less."),
        ("many", "many is no number. Write a number such as 117.5 or 117,5."),
        ("1e3", "1e3 is no number. Write a number such as 117.5 or 117,5."),
        ("nan", "nan is no number. Write a number such as 117.5 or 117,5."),
    ],
)
def test_unclear_numbers_are_asked_back(typed: str, says: str) -> None:
    with pytest.raises(UnclearError) as raised:
        number_typed(typed)
    assert str(raised.value) == says


@pytest.mark.parametrize("typed", ["200+", "200 +", ">200", "≥ 200", ">= 200"])
def test_limits(typed: str) -> None:
    assert fit_factor_typed(typed) == ("200", True)


def test_a_value_is_no_limit() -> None:
    assert fit_factor_typed("31,5") == ("31.5", False)


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("today", "2024-03-01"),
        ("t", "2024-03-01"),
        ("Yesterday", "2024-02-29"),
        ("2023-01-02", "2023-01-02"),
        ("12.9.2026", "2026-09-12"),
        ("soon", "soon"),
    ],
)
def test_days(typed: str, day: str) -> None:
    assert day_typed(typed, date(2024, 3, 1)) == day


def test_a_day_that_could_be_two_is_asked_back() -> None:
    with pytest.raises(UnclearError) as raised:
        day_typed("3/4/2026", date(2026, 5, 1))
    assert str(raised.value) == "3/4/2026 could be 3 April 2026 or 4 March 2026: write the year first, 2026-09-12."


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("talking", "talking"),
        ("Talk", "talking"),
        ("head s", "head-side-to-side"),
        ("h-u", "head-up-and-down"),
        ("n", "normal-breathing"),
    ],
)
def test_words_by_their_beginning(typed: str, meant: str) -> None:
    assert word_typed(typed, WORDS, "exercise") == meant


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("head", "head begins head-side-to-side and head-up-and-down. Write one more letter."),
        ("tolking", "There is no exercise tolking. Did you mean talking?"),
        (
            "xyz",
            "There is no exercise xyz. Known: head-side-to-side, head-up-and-down, talking, normal-breathing.",
        ),
        ("", "There is no exercise . Known: head-side-to-side, head-up-and-down, talking, normal-breathing."),
    ],
)
def test_unclear_words_are_asked_back(typed: str, says: str) -> None:
    with pytest.raises(UnclearError) as raised:
        word_typed(typed, WORDS, "exercise")
    assert str(raised.value) == says


def test_a_whole_word_is_meant_though_another_begins_so() -> None:
    assert word_typed("foam", ["foam", "foam-strip"], "part") == "foam"
    assert word_typed("x", ["x1"], "part") == "x1"


def test_long_lists_are_cut() -> None:
    with pytest.raises(UnclearError, match=r"mask-19 …\.$"):
        word_typed("zzz", [f"mask-{n}" for n in range(30)], "mask")
