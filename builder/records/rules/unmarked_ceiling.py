"""A reading at the instrument's ceiling is "at least".

Where a contributor gives the same value as "at least" in three readings and more by the same kind of instrument, that
is where the instrument ends. An exact reading of that very value is one of these, and without `at_least` it pulls
medians and scatter down. Three is common practice, no published source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from builder.records.entries import Entries, TestRecord
from builder.records.models import Result
from builder.records.problems import Finding, Key
from builder.records.rules.base import Context, RecordRule

FEWEST = 3


def check(entries: Entries, context: Context) -> Iterator[Finding]:
    """Find the ceilings, then the exact readings at one."""
    limits: Counter[tuple[object, ...]] = Counter()
    exact: list[tuple[tuple[object, ...], TestRecord, Key]] = []
    for record in entries.tests:
        test = record.test
        if test.result.counts:
            continue  # whether no particle was counted is seen there
        by = test.contributor, test.conditions.instrument, test.conditions.size_selection
        for key, value, at_least in _readings(test.result):
            if at_least:
                limits[*by, value] += 1
            elif value is not None:
                exact.append(((*by, value), record, key))
    for reading, record, key in exact:
        if limits[reading] >= FEWEST:
            yield Finding(
                key,
                f"{reading[-1]:g} is where {reading[0]}'s instrument ends: "
                f"{limits[reading]} readings of it are at least.",
                "Add at_least = true below it, or correct the value.",
                path=record.path,
            )


def _readings(result: Result) -> Iterator[tuple[Key, float | None, bool]]:
    """Give each reading with its key and whether it is "at least"; where there are exercises, theirs."""
    if not result.exercise:
        yield ("result", "fit_factor"), result.fit_factor, result.at_least
    for place, one in enumerate(result.exercise):
        yield ("result", "exercise", place, "fit_factor"), one.fit_factor, one.at_least


RULE = RecordRule("unmarked-ceiling", "Ceilings are marked", __doc__, severity="warning", entries=check)
