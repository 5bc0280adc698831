"""No two tests agree in every exercise, digit by digit.

Four fit factors and more that are the same in the same order, on another day, face or mask, were copied from one file
to the next: chance makes that less than once in a million tests. Readings that are "at least" repeat by nature and are
not compared, nor are fewer than four. Tests that agree within one wearer, configuration and day have a rule of their
own.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import Entries, TestRecord
from builder.records.overall import averaged
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule

FEWEST = 4


def check(entries: Entries, context: Context) -> Iterator[Finding]:
    """Look for tests with the same exercises."""
    seen: dict[tuple[float, ...], TestRecord] = {}
    for record in entries.tests:
        if len(record.test.result.exercise) < FEWEST:
            continue
        exact = tuple(e.fit_factor for e in averaged(record.test.result) if e.fit_factor and not e.at_least)
        if len(exact) < FEWEST or len(set(exact)) == 1:
            continue
        first = seen.setdefault(exact, record)
        if first is not record and not _same_take(first, record):
            yield Finding(
                ("result", "exercise"),
                f"All {len(exact)} exercises are, digit by digit, those of {context.place(first.path, ('result',))}.",
                "Write what was measured in this donning.",
                path=record.path,
                other=first.path,
            )


def _same_take(one: TestRecord, other: TestRecord) -> bool:
    a, b = one.test, other.test
    return (a.mask, a.date, a.face.wearer, a.configuration) == (b.mask, b.date, b.face.wearer, b.configuration)


RULE = RecordRule("copied-exercises", "Exercises are not copied", __doc__, severity="warning", entries=check)
