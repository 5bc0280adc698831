"""The exercise that leaked most in a donning: by the British rule every exercise has to pass by itself (INDG479)."""

from __future__ import annotations

from builder.fit.levels import PASS_LEVEL
from builder.records.models import ExerciseResult, Result
from builder.records.overall import averaged


def lowest_exercise(result: Result) -> ExerciseResult | None:
    """Give the exercise with the lowest fit factor, without the grimace, of a test that gives two or more.

    None where that is only known to be at least something below `PASS_LEVEL`: it may be a pass or not.
    """
    exercises = averaged(result)
    if len(exercises) < 2:
        return None
    lowest = min(exercises, key=lambda exercise: exercise.fit_factor or 0.0)
    return None if lowest.at_least and (lowest.fit_factor or 0.0) < PASS_LEVEL else lowest
