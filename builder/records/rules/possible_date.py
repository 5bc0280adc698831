"""The date of a test is a day between 1970 and today.

A day of grace is given, since it is already tomorrow somewhere. A date in the future is usually the wrong year,
or month and day the wrong way round.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING

from builder.records.problems import Finding
from builder.records.rules.base import Context, Rule

if TYPE_CHECKING:
    from builder.records.reading import TestRecord


_EARLIEST = date(1970, 1, 1)
"""Older than any portable counter for fit tests."""


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the date with the calendar."""
    day = record.test.date
    if day > context.today + timedelta(days=1):
        yield Finding(("date",), f"{day} lies in the future.", "Write the day of the test as year-month-day.")
    elif day < _EARLIEST:
        yield Finding(("date",), f"{day} is before {_EARLIEST}.", "Write the day of the test as year-month-day.")


RULE = Rule("possible-date", "The date is possible", __doc__, test=check)
