"""The figures of a run as people read them."""

from __future__ import annotations

import math

from builder.fit.counts.counting import CountedFitFactor
from builder.fit.counts.run_log import RunLog, Stretch
from builder.fit.counts.run_result import RunResult
from builder.fit.counts.sampled_air import KINDS, MASK, SWAPPED
from builder.fit.counts.schedule import ScheduleCut
from builder.records.logs.log_said import EXERCISES
from builder.records.vocabulary import Exercise
from builder.words.catalogue import say
from builder.words.numbers import figure, fit, none, plain
from builder.words.vocabulary_words import label


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


def cut_sentence(cut: ScheduleCut) -> str:
    """Say where a schedule was laid on a log."""
    if cut.shift == 0:
        return say("run.cut_at_start")
    return say("run.cut_late" if cut.shift > 0 else "run.cut_early", seconds=plain(abs(cut.shift)))


def cut_rows(log: RunLog) -> list[tuple[str, str, str, str]]:
    """Give the phases that a schedule made of a log as texts, headed: their seconds, and the mean level of each."""
    head = say("run.cut_phase"), say("run.cut_from"), say("run.cut_to"), say("run.cut_level")
    return [
        head,
        *(
            (
                stretch_name(stretch),
                plain(round(stretch.begin, 3)),
                plain(round(stretch.end, 3)),
                figure(stretch.amount / stretch.seconds) if stretch.seconds else none(),
            )
            for stretch in log.stretches
        ),
    ]


def cut_data(log: RunLog) -> list[dict[str, object]]:
    """Give the phases that a schedule made of a log, for programs."""
    return [
        {
            "phase": KINDS[stretch.kind],
            "exercise": EXERCISES[stretch.exercise],
            "from_s": round(stretch.begin, 3),
            "to_s": round(stretch.end, 3),
        }
        for stretch in log.stretches
    ]


def stretch_name(stretch: Stretch) -> str:
    """Name a stretch: its exercise, else its phase."""
    return exercise_name(EXERCISES[stretch.exercise]) if stretch.kind in (MASK, SWAPPED) else KINDS[stretch.kind]


def exercise_name(exercise: str) -> str:
    """Name an exercise as people call it."""
    return label(Exercise(exercise)) if exercise else say("run.mask")


def _between(found: CountedFitFactor) -> str:
    if found.at_least or math.isnan(found.low95):
        return none()
    return say("figure.between", low=figure(found.low95), high=figure(found.high95))


def _named(exercise: str, counted: bool) -> str:
    name = exercise_name(exercise)
    return name if counted else say("run.left_out", exercise=name)
