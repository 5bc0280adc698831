"""Dates as people write them. One that can be read in two ways is asked back, never guessed.

Points part day, month and year in that order wherever they are used; between strokes or hyphens the day comes first in
most countries and the month in some. The other dates of a table decide, where one of them can be read in one way alone.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

DayOrder = Literal["day-first", "month-first"]

_TIME = re.compile(r"(?:[ T]+\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?: ?[AaPp][Mm]|Z)?)$")
_YEAR_FIRST = re.compile(r"(\d{4})([-/.]) ?(\d{1,2})\2 ?(\d{1,2})\.?|(\d{4})()(\d{2})(\d{2})")
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.]) ?(\d{1,2})\2 ?(\d{4}|\d{2})")
_NAMED = re.compile(r"(?P<day>\d{1,2})(?:st|nd|rd|th|\.)?[ -]+(?P<month>[^\W\d]+)\.?[ ,-]+(?P<year>\d{4})")
_NAMED_FIRST = re.compile(r"(?P<month>[^\W\d]+)\.? (?P<day>\d{1,2})(?:st|nd|rd|th)?,? (?P<year>\d{4})")
_SERIAL = re.compile(r"[34]\d{4}|5[0-4]\d{3}")
"""Numbers of days in spreadsheets from 1982 to 2050."""
_SERIAL_START = dt.date(1899, 12, 30)
_MONTHS = tuple(dt.date(2000, month, 1) for month in range(1, 13))
_NAMES = {date.strftime("%B").lower(): date.month for date in _MONTHS}
_FORMAT = "Write year-month-day: 2026-09-12."

AMBIGUOUS_DATE_REMEDY = "Say which by --dates day-first or --dates month-first, or write year-month-day."


@dataclass(frozen=True)
class WrittenDate:
    """What a text may mean: no day, one, or two, with the day first and with the month first.

    `instead` says what to write where it is no date.
    """

    readings: tuple[dt.date, ...] = ()
    order: DayOrder | None = None
    """The only order in which it can be read, of those that have two."""
    instead: str = _FORMAT

    def by(self, order: DayOrder | None) -> dt.date | None:
        """Give the one day, or of two the one by an order; None where it is not clear."""
        if len(self.readings) == 1:
            return self.readings[0]
        return self.readings[order == "month-first"] if self.readings and order else None

    def choice(self) -> str:
        """Say both days."""
        return " or ".join(map(in_words, self.readings))


def read_date(text: str) -> WrittenDate:
    """Read a date; a time of day behind it is passed over."""
    bare = _TIME.sub("", text.strip())
    if found := _YEAR_FIRST.fullmatch(bare):
        year, _, month, day = found.groups()[:4] if found[1] else found.groups()[4:]
        return _one(_day(int(year), int(month), int(day)))
    if found := _NAMED.fullmatch(bare) or _NAMED_FIRST.fullmatch(bare):
        name = found["month"].lower()
        months = {number for known, number in _NAMES.items() if len(name) >= 3 and known.startswith(name)}
        return _one(_day(int(found["year"]), months.pop(), int(found["day"])) if len(months) == 1 else None)
    if found := _YEAR_LAST.fullmatch(bare):
        return _year_last(int(found[1]), int(found[3]), found[4], found[2])
    if _SERIAL.fullmatch(bare):
        day = _SERIAL_START + dt.timedelta(days=int(bare))
        return WrittenDate(instead=f"It is a spreadsheet's number of a day; if it is {in_words(day)}, write {day}.")
    return WrittenDate()


def _year_last(first: int, second: int, year: str, mark: str) -> WrittenDate:
    short = len(year) == 2
    if short and mark == "-":
        return WrittenDate(instead="Write the year in four digits, first: 2026-09-12.")
    full = int(year) + 2000 * short
    day_first, month_first = _day(full, second, first), _day(full, first, second)
    if mark == "." or day_first == month_first:
        return _one(day_first)
    if day_first and month_first:
        return WrittenDate((day_first, month_first))
    return WrittenDate(_one(day_first or month_first).readings, "day-first" if day_first else "month-first")


def order_of(texts: Iterable[str]) -> DayOrder | None:
    """Give the order that the dates of a table agree on, None where none decides or they contradict each other."""
    orders = {order for text in texts if (order := read_date(text).order)}
    return orders.pop() if len(orders) == 1 else None


def in_words(day: dt.date) -> str:
    """Write a day so that nobody takes the month for the day."""
    return f"{day.day} {day:%B} {day.year}"


def _one(day: dt.date | None) -> WrittenDate:
    return WrittenDate((day,)) if day else WrittenDate()


def _day(year: int, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None
