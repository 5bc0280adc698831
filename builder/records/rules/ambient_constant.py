"""The ambient level varies, as room air does.

Particles in a room are never the same number twice: where a hundred were counted, the next count differs by ten or so
(Poisson). A counter that gives the very same ambient count three times in one run, or the same level on each of five
days, has reached its limit, where it counts no more however many there are, or the number was copied. Either way the
fit factor reads too low, or hangs in the air. Three stretches and five days are common practice, no published source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from builder.fit.counts.doubts import AT_ITS_LIMIT, CONSTANT_FROM, constant
from builder.records.entries import Entries, TestRecord
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.vocabulary import Phase

FEWEST_STRETCHES, FEWEST_DAYS = 3, 5


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the ambient stretches of a run."""
    ambient = [count for count in record.test.result.counts if count.phase is Phase.AMBIENT]
    if len(ambient) < FEWEST_STRETCHES:
        return
    measured = {(count.seconds, count.particles, count.concentration) for count in ambient}
    first = ambient[0]
    if len(measured) == 1 and (first.particles is None or first.particles >= CONSTANT_FROM):
        yield Finding(
            ("result", "counts"),
            constant(len(ambient), "stretches"),
            AT_ITS_LIMIT,
        )


def check_days(entries: Entries, context: Context) -> Iterator[Finding]:
    """Compare the ambient levels that a contributor gives for an instrument from day to day."""
    levels: dict[tuple[object, ...], set[float]] = defaultdict(set)
    days: dict[tuple[object, ...], dict[object, TestRecord]] = defaultdict(dict)
    for record in entries.tests:
        test = record.test
        if test.conditions.ambient_per_cm3 is not None:
            by = test.contributor, test.conditions.instrument, test.conditions.size_selection
            levels[by].add(test.conditions.ambient_per_cm3)
            days[by].setdefault(test.date, record)
    for key, given in levels.items():
        if len(given) == 1 and len(days[key]) >= FEWEST_DAYS:
            last = days[key][max(days[key], key=str)]
            yield Finding(
                ("conditions", "ambient_per_cm3"),
                f"{last.test.contributor} gives {given.pop():g} particles per cm³ on each of {len(days[key])} days.",
                "Give what was measured on the day, or leave it out; at its limit a counter always shows the same.",
                path=last.path,
            )


RULE = RecordRule(
    "ambient-constant", "The ambient level varies", __doc__, severity="warning", test=check, entries=check_days
)
