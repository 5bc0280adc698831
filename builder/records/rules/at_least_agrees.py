"""`at_least` is true where a reading is a lower limit, and only there.

A reading at the instrument's ceiling, or with no particle counted in the mask, says that the fit factor is at
least that value, never that it is infinite. One such exercise makes the overall value "at least" too; and an
overall value is exact where every exercise is, or where the counts hold particles from inside the mask.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import TestRecord
from builder.records.models import Result
from builder.records.overall import averaged, from_counts
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.shared_messages import shared

_KEY = ("result", "at_least")


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the overall value with exercises or counts, and look for limits without a value."""
    result = record.test.result
    for number, exercise in enumerate(result.exercise):
        if exercise.at_least and exercise.fit_factor is None:
            yield Finding(
                ("result", "exercise", number, "at_least"),
                shared("at_least_nothing", exercise=exercise.name),
                "Add the fit factor that it is at least, or delete at_least.",
            )
    if exercises := averaged(result):
        limits = [exercise.name for exercise in exercises if exercise.at_least]
        yield from _disagreeing(result, bool(limits), f"{', '.join(limits)} is at least" if limits else "")
    elif result.counts and (result.at_least or result.fit_factor is not None):
        try:
            no_particles = from_counts(result).overall.at_least
        except ValueError:
            return  # another rule says so
        yield from _disagreeing(result, no_particles, "no particle was counted in the mask" if no_particles else "")


def _disagreeing(result: Result, at_least: bool, reason: str) -> Iterator[Finding]:
    if at_least and result.fit_factor is not None and not result.at_least:
        yield Finding(
            _KEY,
            f"The overall fit factor is given as exact, but {reason}.",
            "Add at_least = true below fit_factor.",
        )
    elif result.at_least and not at_least:
        yield Finding(
            _KEY,
            "The overall fit factor is given as at least, but all it comes from is exact.",
            "Delete at_least, or add it to the exercise that reached the ceiling.",
        )


RULE = RecordRule("at-least-agrees", "At least where the reading is a limit", __doc__, test=check)
