"""Dates as people write them; what can be read in two ways is never guessed."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.records.written_dates import WrittenDate, in_words, order_of, read_date

DAY = dt.date(2026, 9, 12)


@pytest.mark.parametrize(
    "text",
    [
        "2026-09-12",
        " 2026-9-12 ",
        "2026/09/12",
        "2026.09.12.",
        "20260912",
        "2026-09-12T18:40:05",
        "2026-09-12 00:00:00",
        "12.9.2026",
        "12. 9. 2026",
        "12.09.26",
        "12 Sep 2026",
        "12. September 2026",
        "12-Sep-2026",
        "12th of September 2026".replace("of ", ""),
        "Sep 12, 2026",
        "September 12th 2026",
        "12 sept. 2026",
        "12.9.2026 6:40 PM",
    ],
)
def test_ways_to_write_one_day(text: str) -> None:
    assert read_date(text) == WrittenDate((DAY,))


def test_two_readings_are_both_given() -> None:
    written = read_date("12/9/2026")
    assert written.readings == (DAY, dt.date(2026, 12, 9))
    assert written.choice() == "12 September 2026 or 9 December 2026"
    assert (written.by(None), written.by("day-first"), written.by("month-first")) == (None, DAY, written.readings[1])


def test_one_reading_decides_for_the_others() -> None:
    assert read_date("13/9/2026") == WrittenDate((dt.date(2026, 9, 13),), "day-first")
    assert read_date("9-13-2026") == WrittenDate((dt.date(2026, 9, 13),), "month-first")
    assert order_of(["12/9/2026", "13/9/2026", "2026-01-02"]) == "day-first"
    assert order_of(["12/9/2026"]) is None
    assert order_of(["9/13/2026", "13/9/2026"]) is None
    assert read_date("9/9/2026").by(None) == dt.date(2026, 9, 9)


@pytest.mark.parametrize(
    ("text", "instead"),
    [
        ("", "Write year-month-day: 2026-09-12."),
        ("last Monday", "Write year-month-day: 2026-09-12."),
        ("2026-13-01", "Write year-month-day: 2026-09-12."),
        ("31/2/2026", "Write year-month-day: 2026-09-12."),
        ("12 J 2026", "Write year-month-day: 2026-09-12."),
        ("12 Ju 2026", "Write year-month-day: 2026-09-12."),
        ("26-09-12", "Write the year in four digits, first: 2026-09-12."),
        ("46277", "It is a spreadsheet's number of a day; if it is 12 September 2026, write 2026-09-12."),
    ],
)
def test_what_is_no_date(text: str, instead: str) -> None:
    assert read_date(text) == WrittenDate(instead=instead)


@given(st.dates(dt.date(1900, 1, 1)))
def test_every_day_is_read_as_it_was_meant_or_in_two_ways(day: dt.date) -> None:
    for text in (day.isoformat(), f"{day.day}.{day.month}.{day.year}", in_words(day), day.strftime("%b %d, %Y")):
        assert read_date(text).readings == (day,)
    for text, order in ((f"{day.day}/{day.month}/{day.year}", 0), (f"{day.month}/{day.day}/{day.year}", 1)):
        assert read_date(text).by(("day-first", "month-first")[order]) == day


@given(st.text(max_size=20))
def test_any_text_is_a_date_or_not(text: str) -> None:
    assert len(read_date(text).readings) <= 2
