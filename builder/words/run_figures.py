"""The figures of a run as people read them."""

from __future__ import annotations

import math

from builder.fit.counts.counting import CountedFitFactor
from builder.fit.counts.run_result import RunResult
from builder.records.vocabulary import Exercise
from builder.words.numbers import figure, fit


def figures(result: RunResult) -> list[tuple[str, str, str, str, str]]:
    """Give name, fit factor, interval, seconds and particles of each exercise as texts, the overall value last."""
    masks = (phase for phase in result.phases if phase.kind == "mask")
    rows = [
        (
            exercise_name(exercise.exercise) if exercise.counted else f"{exercise_name(exercise.exercise)} (left out)",
            fit(exercise.result.fit_factor, exercise.result.at_least),
            _between(exercise.result),
            figure(phase.seconds),
            "–" if phase.particles is None else f"{phase.particles:.0f}",
        )
        for phase, exercise in zip(masks, result.fit.exercises, strict=True)
    ]
    overall = result.fit.overall
    return [*rows, ("overall", fit(overall.fit_factor, overall.at_least), _between(overall), "", "")]


def exercise_name(exercise: str) -> str:
    """Name an exercise as people call it."""
    return Exercise(exercise).label if exercise else "mask"


def _between(found: CountedFitFactor) -> str:
    return "–" if found.at_least or math.isnan(found.low95) else f"{figure(found.low95)} to {figure(found.high95)}"
