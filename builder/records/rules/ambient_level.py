"""There are enough particles in the room for the fit factor claimed, and for the instrument.

A fit factor is a ratio, and its lower half are the particles counted in the mask. A condensation counter takes about
100 cm³ of air a minute, an optical one about 2.8 litres (values from memory), and an exercise lasts half a minute.
Where fewer than three particles are to be expected in that air, none at all is no surprise (the one-sided 95 % limit of
no count is 2.996, Garwood, Biometrika 1936), and the fit factor is a guess: count longer, or raise the ambient level.

A condensation counter needs about 1000 particles per cm³ of room air when it counts all sizes, and about 30 when it
counts a narrow band, for else its own background and single particles decide (common practice, no published source).
Where counts are given, they are looked at instead: without a particle in the mask they should show a fit factor of 100.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.fit.counts.doubts import MOST_SAMPLED_CM3, most_shown, too_few_expected
from builder.fit.levels import PASS_LEVEL
from builder.records.entries import TestRecord
from builder.records.models import Result
from builder.records.overall import averaged, from_counts
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.vocabulary import Instrument, SizeSelection

SAMPLED_CM3 = {Instrument.CONDENSATION: 50.0, Instrument.OPTICAL: MOST_SAMPLED_CM3}
"""Air sampled in half a minute."""
LEAST_AMBIENT = {
    (Instrument.CONDENSATION, SizeSelection.ALL): 1000.0,
    (Instrument.CONDENSATION, SizeSelection.NARROW): 30.0,
}
"""Particles per cm³."""

_KEY = ("conditions", "ambient_per_cm3")


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Look at the ambient level, or at what was counted of it."""
    result, conditions = record.test.result, record.test.conditions
    if result.set_aside:
        return
    if result.counts:
        yield from _too_few_counts(result)
    level, instrument = conditions.ambient_per_cm3, conditions.instrument
    if level is None or instrument is None:
        return
    least = LEAST_AMBIENT.get((instrument, conditions.size_selection or SizeSelection.ALL), 0.0)
    if level < least:
        yield Finding(
            _KEY,
            f"{level:g} particles per cm³ of room air are few for a {instrument.label.lower()}, "
            f"which needs about {least:g}.",
            "Raise the ambient level, or check the number and its unit.",
        )
        return
    highest = max((e.fit_factor for e in averaged(result) if e.fit_factor), default=result.fit_factor or 0.0)
    sampled = SAMPLED_CM3.get(instrument)
    if sampled and not result.counts and highest > most_shown(level, sampled):
        yield Finding(
            _KEY,
            f"{too_few_expected(level, sampled)}; {highest:.0f} is claimed.",
            "Check both numbers; if they are right, give the fit factor as at_least what could be shown.",
        )


def _too_few_counts(result: Result) -> Iterator[Finding]:
    try:
        run = from_counts(result)
    except ValueError:
        return  # another rule says so
    if run.overall.at_least and run.overall.fit_factor < PASS_LEVEL:
        yield Finding(
            ("result", "counts"),
            f"No particle was counted in the mask, and too few outside it to show a fit factor of {PASS_LEVEL:g}.",
            "Count longer, or raise the ambient level.",
        )


RULE = RecordRule("ambient-level", "Enough particles in the room", __doc__, severity="warning", test=check)
