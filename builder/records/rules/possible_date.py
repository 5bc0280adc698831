"""The date of a test is a day between 1970 and today, and so is the day something was taken out.

A day of grace is given, since it is already tomorrow somewhere. A date in the future is usually the wrong year,
or month and day the wrong way round. A planned test may have a day to come.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from builder.records.entries import RemovedRecord, TestRecord
from builder.records.overall import is_planned
from builder.records.problems import Finding, Key
from builder.records.rules.base import Context, RecordRule
from builder.records.shared_messages import shared

EARLIEST = date(1970, 1, 1)
"""Older than any portable counter for fit tests."""

_REMEDIES = {
    "removed": "Write the day it was taken out as year-month-day.",
    "renamed": "Write the day it was renamed as year-month-day.",
    "withdrawn": "Write the day they were withdrawn as year-month-day.",
}


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the date of a test with the calendar."""
    if is_planned(record.test.result) and record.test.date > context.today:
        return
    yield from _impossible(("date",), record.test.date, context, "Write the day of the test as year-month-day.")


def check_removed(record: RemovedRecord, context: Context) -> Iterator[Finding]:
    """Compare the dates of removals, other names and withdrawals with the calendar."""
    listed = record.removed
    days = {
        "removed": [line.date for line in listed.removed],
        "renamed": [line.date for line in listed.renamed],
        "withdrawn": [line.date for line in listed.withdrawn],
    }
    for table, remedy in _REMEDIES.items():
        for number, day in enumerate(days[table]):
            yield from _impossible((table, number, "date"), day, context, remedy)


def _impossible(key: Key, day: date, context: Context, remedy: str) -> Iterator[Finding]:
    if day > context.today + timedelta(days=1):
        yield Finding(key, shared("in_future", day=day, today=context.today), remedy)
    elif day < EARLIEST:
        yield Finding(key, shared("too_early", day=day, earliest=EARLIEST), remedy)


RULE = RecordRule("possible-date", "The date is possible", __doc__, test=check, removed=check_removed)
