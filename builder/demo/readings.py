"""From a drawn fit factor to what a contributor writes: an overall value, exercises, or raw counts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from builder.demo.loggers import Logger
from builder.records.models import Count, ExerciseResult, Result
from builder.records.overall import overall
from builder.records.vocabulary import PROTOCOL_TIMES, Exercise, Phase

HARDNESS = {
    Exercise.NORMAL_BREATHING: 1.0,
    Exercise.DEEP_BREATHING: 0.92,
    Exercise.HEAD_SIDE_TO_SIDE: 0.8,
    Exercise.HEAD_UP_AND_DOWN: 0.67,
    Exercise.TALKING: 0.56,
    Exercise.GRIMACE: 0.5,
    Exercise.BENDING_OVER: 0.62,
}
"""Fit factor of an exercise beside the easiest one. Talking, bending and head up and down are NIOSHTIC-2 20025660's
mean ratios (without saying which of the three is which); the rest are invented."""

EXERCISE_SCATTER = 0.25

AMBIENT_RATE = (6.0, 25.0)
"""Particles a second that the invented optical counter sees in room air: so few that some runs count none inside."""


def write_result(
    fit_factor: float, logger: Logger, with_exercises: bool, set_aside: str | None, rng: np.random.Generator
) -> Result:
    """Write a measured fit factor down the way this contributor does; the overall value agrees with the details."""
    if logger.counts:
        details = Result(protocol=logger.protocol, counts=_counts(fit_factor, logger, rng))
    elif with_exercises:
        details = Result(protocol=logger.protocol, exercise=_exercises(fit_factor, logger, rng))
    else:
        details = Result(protocol=logger.protocol, **_shown(fit_factor, logger))
    read = overall(details)
    return details.model_copy(
        update={"fit_factor": three_digits(read.fit_factor), "at_least": read.at_least, "set_aside": set_aside}
    )


def three_digits(value: float) -> float:
    """Round to three significant digits, as a display shows a fit factor; at least 1."""
    return max(1.0, float(f"{value:.3g}"))


def _shown(value: float, logger: Logger) -> dict[str, Any]:
    """Give a value as the display shows it, which at its ceiling is "at least"."""
    shown = min(three_digits(value), logger.ceiling)
    return {"fit_factor": shown, "at_least": bool(shown == logger.ceiling)}


def _exercises(fit_factor: float, logger: Logger, rng: np.random.Generator) -> tuple[ExerciseResult, ...]:
    """Split an overall fit factor into exercises whose harmonic mean without the grimace it is."""
    names = [step.exercise for step in PROTOCOL_TIMES[logger.protocol].steps]
    ease = np.array([HARDNESS[name] for name in names]) * np.exp(rng.normal(0, EXERCISE_SCATTER, len(names)))
    averaged = np.array([name is not Exercise.GRIMACE for name in names])
    each = fit_factor * ease * np.mean(1 / ease[averaged])
    return tuple(
        # Nobody reads the display during a grimace.
        ExerciseResult(name=name) if name is Exercise.GRIMACE else ExerciseResult(name=name, **_shown(value, logger))
        for name, value in zip(names, each, strict=True)
    )


def _counts(fit_factor: float, logger: Logger, rng: np.random.Generator) -> tuple[Count, ...]:
    """Count particles of a run with one exercise: ambient, in the mask, ambient."""
    timing = PROTOCOL_TIMES[logger.protocol]
    (step,) = timing.steps
    seconds: Sequence[float] = (timing.ambient_start_s, step.seconds, timing.ambient_end_s)
    rate = rng.uniform(*AMBIENT_RATE)
    rates: NDArray[np.float64] = np.array([rate, rate / fit_factor, rate * np.exp(rng.normal(0, 0.03))])
    before, inside, after = (int(n) for n in rng.poisson(rates * np.array(seconds)))
    # Chance may count more inside than outside, where a mask hardly helps; no fit factor below 1 is written down.
    most = int((before / seconds[0] + after / seconds[2]) / 2 * seconds[1])
    return (
        Count(phase=Phase.AMBIENT, seconds=seconds[0], particles=before),
        Count(phase=Phase.MASK, exercise=step.exercise, seconds=seconds[1], particles=min(inside, most)),
        Count(phase=Phase.AMBIENT, seconds=seconds[2], particles=after),
    )
