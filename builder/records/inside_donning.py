"""What another protocol would have read in the same donning, from its exercises."""

from __future__ import annotations

from builder.fit.counts.fit_factor import overall_fit_factor
from builder.records.models import Result
from builder.records.vocabulary import PROTOCOL_TIMES, Exercise, Protocol


def read_by(protocol: Protocol, result: Result) -> float | None:
    """Give the overall fit factor of a protocol's exercises, the first of each kind, as if no other had been done.

    None for a test by that protocol itself, and where an exercise is missing or its reading is "at least".
    """
    if result.protocol is protocol:
        return None
    first: dict[Exercise, float] = {}
    for exercise in result.exercise:
        if exercise.fit_factor is not None:
            first.setdefault(exercise.name, float("nan") if exercise.at_least else exercise.fit_factor)
    wanted = [first.get(step.exercise, float("nan")) for step in PROTOCOL_TIMES[protocol].steps]
    return overall_fit_factor(wanted) if all(value > 0 for value in wanted) else None
