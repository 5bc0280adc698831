"""Numbers with either decimal mark and parted thousands."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.records.logs.log_numbers import NumberForm, decided_mark, form_of, numbers

POINT, COMMA = NumberForm("."), NumberForm(",")
POINT_PARTED, COMMA_PARTED = NumberForm(".", thousands=True), NumberForm(",", thousands=True)


@pytest.mark.parametrize(
    ("texts", "mark"),
    [
        (["1", "20"], None),
        (["1.5"], "."),
        (["1,5"], ","),
        (["1.234"], None),
        (["0,234"], ","),
        (["1.234,5"], ","),
        (["1,234.5"], "."),
        (["1.234.567"], ","),
        (["1 234,5"], ","),
        (["a,b", "x.y"], None),
    ],
)
def test_the_mark_that_a_number_cannot_be_read_without(texts: list[str], mark: str | None) -> None:
    assert decided_mark(texts) == mark


@pytest.mark.parametrize(
    ("texts", "mark", "whole", "form"),
    [
        (["1,234", "987"], None, True, POINT_PARTED),
        (["1.234", "987"], None, True, COMMA_PARTED),
        (["1,234", "987"], None, False, POINT_PARTED),
        (["1,234", "2,000"], None, False, COMMA),
        (["1.234", "987"], None, False, POINT),
        (["1,234", "1234"], None, False, COMMA),
        (["1.234", "987"], ",", False, COMMA_PARTED),
        (["12", "13"], ",", False, COMMA),
        (["12", "13"], None, False, POINT),
    ],
)
def test_the_form_of_a_column(texts: list[str], mark: str | None, whole: bool, form: NumberForm) -> None:
    assert form_of(texts, mark, whole=whole) == form


@pytest.mark.parametrize(
    ("text", "form", "value"),
    [
        ("12.5", POINT, 12.5),
        (" 1e3 ", POINT, 1000),
        ("12,5", COMMA, 12.5),
        ("1.234,5", COMMA_PARTED, 1234.5),
        ("1,234,567", POINT_PARTED, 1_234_567),
        ("1 234 567", POINT, 1_234_567),
        ("1\u202f234,5", COMMA, 1234.5),
        ("12'345.5", POINT, 12_345.5),
        ("-3,5", COMMA, -3.5),
    ],
)
def test_numbers(text: str, form: NumberForm, value: float) -> None:
    assert numbers([text], form).tolist() == [value]
    assert numbers([text, "x"], form).tolist()[0] == value


@pytest.mark.parametrize(
    ("text", "form"),
    [("", POINT), ("12,5", POINT_PARTED), ("1.2", COMMA), ("1_000", POINT), ("1 23", POINT), ("1,2345", POINT_PARTED)],
)
def test_what_is_no_number(text: str, form: NumberForm) -> None:
    assert np.isnan(numbers([text], form)).all()


@given(
    st.lists(st.floats(0, 1e9), min_size=1),
    st.sampled_from([(".", ""), (".", ","), (",", "."), (",", ""), (",", " "), (".", "'")]),
)
def test_what_is_written_is_read(values: list[float], marks: tuple[str, str]) -> None:
    decimal, parting = marks
    texts = [f"{value:,.2f}".replace(",", "_").replace(".", decimal).replace("_", parting) for value in values]
    form = form_of(texts, None, whole=False)
    assert numbers(texts, form).tolist() == pytest.approx([round(value, 2) for value in values])
