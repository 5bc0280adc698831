"""The exercises of a test are those of its protocol, each with a fit factor.

A missing exercise is usually a hard one, and without it the overall fit factor looks better than it is. The
grimace may go without a fit factor, or be left out, since it does not enter the overall value (74 FR 3526).
Their order is free, and jogging in place may stand for bending over (29 CFR 1910.134 App. A). A test with other
exercises has the protocol `free`. A take that is set aside may have broken off.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from builder.records.entries import TestRecord
from builder.records.overall import averaged
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.shared_messages import shared
from builder.records.vocabulary import PROTOCOL_TIMES, STANDS_FOR, Exercise, Phase, Protocol

_EXPECTED = {protocol: Counter(step.exercise for step in timing.steps) for protocol, timing in PROTOCOL_TIMES.items()}


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the named exercises, and those of the counts, with the protocol."""
    result = record.test.result
    if result.set_aside:
        return
    if result.exercise:
        yield from _differing("exercise", result.protocol, (exercise.name for exercise in result.exercise))
        yield from _without_value(record)
    in_mask = [count.exercise for count in result.counts if count.phase is Phase.MASK]
    named = [exercise for exercise in in_mask if exercise]
    if named and len(named) == len(in_mask):
        yield from _differing("counts", result.protocol, named)


def _differing(key: str, protocol: Protocol, names: Iterable[Exercise]) -> Iterator[Finding]:
    if protocol not in _EXPECTED:
        return
    expected, given = _EXPECTED[protocol], Counter(STANDS_FOR.get(name, name) for name in names)
    missing, surplus = expected - given, given - expected
    del missing[Exercise.GRIMACE]
    faults = [shared("missing", exercises=_names(missing))] if missing else []
    faults += [shared("surplus", exercises=_names(surplus))] if surplus else []
    if faults:
        yield Finding(
            ("result", key),
            shared("other_exercises", protocol=protocol, faults="; ".join(faults)),
            f'Give {_names(expected)}, or write protocol = "{Protocol.FREE}".',
        )


def _without_value(record: TestRecord) -> Iterator[Finding]:
    result = record.test.result
    if not averaged(result):
        return
    for number, exercise in enumerate(result.exercise):
        if exercise.fit_factor is None and exercise.name is not Exercise.GRIMACE:
            yield Finding(
                ("result", "exercise", number),
                f"{exercise.name} has no fit factor, the others have.",
                "Add its fit factor, or say with set_aside why the take does not count.",
            )


def _names(exercises: Counter[Exercise]) -> str:
    return ", ".join(f"{name} ×{times}" if times > 1 else name for name, times in exercises.items())


RULE = RecordRule("protocol-exercises", "Exercises are those of the protocol", __doc__, test=check)
