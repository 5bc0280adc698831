"""No test is there twice.

Two tests of one wearer in one configuration on one day, with the same fit factors in every exercise or the same
counts, are one test under two names: two donnings never agree in every number. Where only an overall value is
given chance can make two takes alike, so files that agree in everything get a warning; notes that tell the
takes apart end it. Readings that are "at least" repeat by nature and are not compared.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterator

from builder.records.entries import Entries, TestRecord
from builder.records.models import Test
from builder.records.overall import averaged, is_planned
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule


def check(entries: Entries, context: Context) -> Iterator[Finding]:
    """Compare the tests of each wearer, mask and day with each other."""
    same_day: dict[tuple[object, ...], list[TestRecord]] = defaultdict(list)
    for record in entries.tests:
        if is_planned(record.test.result):
            continue
        same_day[record.test.mask, record.test.date, record.test.face.wearer].append(record)
    for records in same_day.values():
        if len(records) > 1:
            yield from _repeated(records, context)


def _repeated(records: list[TestRecord], context: Context) -> Iterator[Finding]:
    seen: dict[Hashable, TestRecord] = {}
    for record in records:
        numbers = _numbers(record.test)
        if not numbers and record.test.result.at_least:
            continue
        first = seen.setdefault((record.test.configuration, numbers) if numbers else record.test, record)
        if first is record:
            continue
        place = context.place(first.path, ("result",))
        if numbers:
            yield Finding(
                ("result",),
                f"The same numbers, wearer, configuration and day are in {place}.",
                "Delete one of the two, or correct the one that was copied.",
                path=record.path,
                other=first.path,
            )
        else:
            yield Finding(
                ("result",),
                f"This file says the same as {place}.",
                "Delete one of the two; if both were measured, tell them apart in observations.notes.",
                severity="warning",
                path=record.path,
                other=first.path,
            )


def _numbers(test: Test) -> tuple[float, ...]:
    """Give what was measured, if it is more than one number that could come twice by chance."""
    exact = tuple(e.fit_factor for e in averaged(test.result) if e.fit_factor is not None and not e.at_least)
    counted = tuple(count.particles or count.concentration or 0.0 for count in test.result.counts)
    return (*exact, *counted) if max(len(exact), len(counted)) > 1 else ()


RULE = RecordRule("same-test", "No test is there twice", __doc__, entries=check)
