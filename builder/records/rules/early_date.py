"""A test is of about the time of the mask's other tests.

A test dated ten years and more before the middle one of the mask's tests has a slipped year, or another mask was meant:
models do not stay the same so long. Masks with fewer than four tests are not looked at. Ten years are common practice,
no published source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import timedelta

from builder.records.entries import Entries, TestRecord
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule

DECADE = timedelta(days=3652)
FEWEST_TESTS = 4


def check(entries: Entries, context: Context) -> Iterator[Finding]:
    """Compare the dates of each mask's tests with the middle one."""
    by_mask: dict[str, list[TestRecord]] = defaultdict(list)
    for record in entries.tests:
        by_mask[record.test.mask].append(record)
    for records in by_mask.values():
        if len(records) < FEWEST_TESTS:
            continue
        days = sorted(record.test.date for record in records)
        middle = days[len(days) // 2]
        if middle - days[0] < DECADE:
            continue
        for record in records:
            if middle - record.test.date >= DECADE:
                years = (middle - record.test.date).days * 10 // 3652
                yield Finding(
                    ("date",),
                    f"{record.test.date} lies {years} years before most tests of this mask, which are of about "
                    f"{middle.year}.",
                    "Check the year.",
                    path=record.path,
                )


RULE = RecordRule("early-date", "Of the time of the mask's other tests", __doc__, severity="warning", entries=check)
