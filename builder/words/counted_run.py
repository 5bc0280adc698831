"""The figures of a run as people read them."""

from __future__ import annotations

import math

from builder.fit.counts.counting import CountedFitFactor
from builder.fit.counts.run_result import RunResult
from builder.records.vocabulary import Exercise
from builder.words.catalogue import say
from builder.words.numbers import figure, fit, none


def figures(result: RunResult) -> list[tuple[str, str, str, str, str]]:
    """Give name, fit factor, interval, seconds and particles of each exercise as texts, the overall value last."""
    masks = (phase for phase in result.phases if phase.kind == "mask")
    rows = [
        (
            _named(exercise.exercise, exercise.counted),
            fit(exercise.result.fit_factor, exercise.result.at_least),
            _between(exercise.result),
            figure(phase.seconds),
            none() if phase.particles is None else f"{phase.particles:.0f}",
        )
        for phase, exercise in zip(masks, result.fit.exercises, strict=True)
    ]
    overall = result.fit.overall
    return [*rows, (say("run.overall"), fit(overall.fit_factor, overall.at_least), _between(overall), "", "")]


def exercise_name(exercise: str) -> str:
    """Name an exercise as people call it."""
    return Exercise(exercise).label if exercise else say("run.mask")


def _between(found: CountedFitFactor) -> str:
    if found.at_least or math.isnan(found.low95):
        return none()
    return say("figure.between", low=figure(found.low95), high=figure(found.high95))


def _named(exercise: str, counted: bool) -> str:
    name = exercise_name(exercise)
    return name if counted else say("run.left_out", exercise=name)
