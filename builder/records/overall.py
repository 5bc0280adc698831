"""The overall fit factor of a result: from its exercises, else from its counts, else as it was typed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from builder.fit.counts.counting import RunFitFactor, SampledPhase, run_fit_factor
from builder.fit.counts.fit_factor import overall_fit_factor
from builder.records import vocabulary as words
from builder.records.models import Count, ExerciseResult, Result


@dataclass(frozen=True)
class Reading:
    """An overall fit factor, whether it is only a lower limit, and the SD of its logarithm from counting alone.

    `counting_sd` is that of ln FF; 0 where no particle counts are given.
    """

    fit_factor: float
    at_least: bool
    counting_sd: float


def overall(result: Result) -> Reading:
    """Give the overall fit factor that pages show and statistics use.

    The harmonic mean of the exercises without the grimace, where any exercise has a fit factor; else that of the
    counts; else the typed one. One exercise that is "at least" makes the overall value "at least".
    Raises ValueError for a result without any of the three, or with counts that give no fit factor.
    """
    counting_sd = from_counts(result).overall.log_sd if result.counts else 0.0
    if exercises := averaged(result):
        fit_factor = overall_fit_factor([e.fit_factor for e in exercises if e.fit_factor is not None])
        return Reading(fit_factor, any(e.at_least for e in exercises), counting_sd)
    if result.counts:
        run = from_counts(result).overall
        return Reading(run.fit_factor, run.at_least, run.log_sd)
    if result.fit_factor is None:
        raise ValueError("The result has no fit factor, no exercises and no counts.")
    return Reading(result.fit_factor, result.at_least, counting_sd)


def is_planned(result: Result) -> bool:
    """Whether nothing was measured yet: a donning of a run sheet that waits for its result."""
    said = (result.fit_factor, result.set_aside, result.exercise or None, result.counts or None)
    return not result.at_least and all(one is None for one in said)


def averaged(result: Result) -> tuple[ExerciseResult, ...]:
    """Give the exercises that enter the overall fit factor: those with a value, without the grimace."""
    return tuple(e for e in result.exercise if e.fit_factor is not None and e.name is not words.Exercise.GRIMACE)


def from_counts(result: Result) -> RunFitFactor:
    """Give the fit factors of the counted stretches. Raises ValueError for counts that give none."""
    return _run(result.counts)


@lru_cache(maxsize=8)  # several rules ask about the same test in turn
def _run(counts: tuple[Count, ...]) -> RunFitFactor:
    return run_fit_factor(
        [
            SampledPhase(
                kind="mask" if count.phase is words.Phase.MASK else "ambient",
                seconds=count.seconds,
                particles=count.particles,
                concentration=count.concentration,
                exercise=count.exercise.value if count.exercise else "",
            )
            for count in counts
        ]
    )
