"""Donnings scatter: repeated readings are neither all alike nor evenly spaced.

Repeated donnings of one wearer in one configuration differ by a geometric standard deviation of 1.5 to 2.5, and
hardly ever by less than 1.3 (planning guess, no published source). Four readings and more so close together that this
happens less than once in 100,000 such series, or five and more whose steps are all the same, were not each measured
after a donning of its own; those of one day by themselves, too. The rounding of what is written is allowed for.
Taking several readings without taking the mask off is one donning: give the one value, or counts.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from builder.records.entries import Entries, TestRecord
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.rules.stated_agrees import written_limits

LEAST_LN_SD = math.log(1.3)
CHANCE = 1e-5
FEWEST_ALIKE, FEWEST_STEPS = 4, 5


def check(entries: Entries, context: Context) -> Iterator[Finding]:
    """Look at the repeated donnings of each wearer and configuration, by contributor."""
    series: dict[tuple[object, ...], list[TestRecord]] = defaultdict(list)
    for record in entries.tests:
        test = record.test
        result = test.result
        if result.fit_factor is not None and not (result.at_least or result.set_aside or result.counts):
            series[test.mask, test.face.wearer, test.contributor, test.configuration].append(record)
    for records in series.values():
        found = list(_too_even(records))
        days: dict[date, list[TestRecord]] = defaultdict(list)
        for record in records:
            days[record.test.date].append(record)
        yield from found or (finding for of_day in days.values() for finding in _too_even(of_day))


def _too_even(records: list[TestRecord]) -> Iterator[Finding]:
    if len(records) < FEWEST_ALIKE:
        return
    records.sort(key=lambda record: (record.test.date, len(record.id), record.id))
    values = [record.test.result.fit_factor or 1.0 for record in records]
    shown = ", ".join(f"{value:g}" for value in values[:FEWEST_STEPS]) + (" …" if len(values) > FEWEST_STEPS else "")
    if _steps_alike(values):
        problem = f"The {len(values)} donnings of this series rise or fall in even steps: {shown}."
    elif is_too_even(values):
        problem = f"The {len(values)} donnings of this series are more alike than donnings are: {shown}."
    else:
        return
    last = records[-1]
    yield Finding(
        ("result",),
        problem,
        "Check that each was measured after a donning of its own; readings without re-donning are one test.",
        path=last.path,
    )


def _steps_alike(values: list[float]) -> bool:
    steps = [after - before for before, after in pairwise(values)]
    return len(values) >= FEWEST_STEPS and steps[0] != 0 and all(math.isclose(step, steps[0]) for step in steps)


def is_too_even(values: list[float]) -> bool:
    """Whether readings are closer together than donnings come out."""
    return _chance(values) < CHANCE


def _chance(values: list[float]) -> float:
    """Give the chance that readings are as close together, if donnings scatter as little as they hardly ever do."""
    logs = [math.log(value) for value in values]
    mean = math.fsum(logs) / len(logs)
    squares = math.fsum((log - mean) ** 2 for log in logs)
    # A value that is rounded lies anywhere between two limits: the variance of that is a twelfth of their distance².
    widths = [math.log(high / low) for low, high in map(written_limits, values) if low > 0]
    squares += math.fsum(width**2 for width in widths) / 12
    return chi_squared_below(squares / LEAST_LN_SD**2, len(values) - 1)


def chi_squared_below(x: float, df: int) -> float:
    """Give the chance of a χ² variable below x."""
    from scipy.special import chdtr  # brings NumPy along, which a check seldom needs

    return float(chdtr(df, x))


RULE = RecordRule("even-series", "Donnings scatter", __doc__, severity="warning", entries=check)
