"""Numbers in tables: decimal points and commas, limits, and what can be read in two ways."""

from __future__ import annotations

import pytest

from builder.records.written_numbers import AmbiguousNumber, DecimalMark, limit_in


def read(text: str, others: tuple[str, ...] = (), delimiter: str = ";", said: str | None = None) -> str | None:
    found = DecimalMark.of((text, *others), delimiter, said).read(text)
    return None if isinstance(found, AmbiguousNumber) else found


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("64", "64"),
        ("31.5", "31.5"),
        ("31,5", "31.5"),
        ("1.234,5", "1234.5"),
        ("1,234.5", "1234.5"),
        ("1 234,5", "1234.5"),
        ("1'234", "1234"),
        ("0,125", "0.125"),
        ("1,234,567", "1234567"),
        ("64.0", "64"),
        ("1e3", "1000"),
        ("many", "many"),
        ("1_000", "1_000"),
        ("inf", "inf"),
    ],
)
def test_what_can_be_read_in_one_way(text: str, expected: str) -> None:
    assert read(text) == expected


@pytest.mark.parametrize(
    ("text", "others", "delimiter", "said", "expected"),
    [
        ("1,234", (), ";", None, None),
        ("1,234", (), ",", None, None),
        ("1.234", (), ";", None, None),
        ("1.234", (), ",", None, "1.234"),
        ("1.234", ("31,5",), ",", None, "1234"),
        ("1,234", ("31,5",), ";", None, "1.234"),
        ("1,234", ("31.5",), ";", None, "1234"),
        ("1,234", ("31.5", "31,5"), ";", None, None),
        ("1,234", (), ";", "point", "1234"),
        ("1,234", (), ";", "comma", "1.234"),
    ],
)
def test_the_rest_of_the_table_decides_or_it_is_asked_back(
    text: str, others: tuple[str, ...], delimiter: str, said: str | None, expected: str | None
) -> None:
    assert read(text, others, delimiter, said) == expected


def test_both_readings_are_said() -> None:
    said = '"1,234" is 1.234 or 1234: nothing in the table says which.'
    assert AmbiguousNumber("1,234", ",").problem == said


@pytest.mark.parametrize(
    ("text", "number"),
    [(">500", "500"), ("≥ 500", "500"), (">=500", "500"), ("500+", "500"), ("at least 1,5", "1,5"), ("500", None)],
)
def test_a_reading_that_is_a_limit(text: str, number: str | None) -> None:
    assert limit_in(text) == number
