"""Fit factors from particle counts, with the uncertainty that counting alone leaves.

The intervals are exact limits of a ratio of two Poisson counts. Breathing, talking and re-donning scatter are not in
them.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import compress
from typing import Literal

from builder.fit.counts.poisson import equal_rates_p_value, log_sd, ratio_limits, zero_count_limit
from builder.fit.intervals import Interval
from builder.fit.levels import PASS_LEVEL

GRIMACE = "grimace"
"""The exercise that is left out of the overall fit factor (74 FR 3526)."""

# Ambient drift beyond these factors is worth a warning, or too much to be averaged: common practice, no published
# source. With large counts any drift is significant, so chance alone cannot decide.
DRIFT_WARNING, DRIFT_REFUSAL, DRIFT_CHANCE = 1.2, 2.0, 0.01

# Uncertainty of ln FF where no particle was counted in the mask, a factor of √10 either way. Taken about the limit at
# alpha = 0.5 it imitates the exact likelihood exp(−λ) within a fifth of a natural-log unit.
ZERO_COUNT_LOG_SD = 0.5 * math.log(10)

# Why counts give no fit factor, as the form on the contribute page says it too.
NO_AMBIENT = "A run needs an ambient phase to set the mask phases against."
NO_MASK = "A run needs a mask phase other than the grimace."
EMPTY_AMBIENT = "No particle was counted in the ambient air, so there is no fit factor."
EMPTY_CONCENTRATION = "An in-mask concentration of 0 gives no fit factor: give the particle counts."

_NO_INTERVAL = Interval(math.nan, math.nan)


@dataclass(frozen=True)
class Segment:
    """Particles counted during some seconds. Raises ValueError for a negative count or no time."""

    particles: float
    seconds: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.particles) and self.particles >= 0):
            raise ValueError("A particle count is 0 or more.")
        if not (math.isfinite(self.seconds) and self.seconds > 0):
            raise ValueError("Particles are counted during more than 0 seconds.")

    @property
    def rate(self) -> float:
        """Particles per second."""
        return self.particles / self.seconds


@dataclass(frozen=True)
class CountedFitFactor:
    """A fit factor with its 95 % counting interval.

    Where `at_least`, no particle was counted in the mask: `fit_factor` and `low95` are the one-sided 95 % lower limit
    and `high95` is infinite. `log_sd` is the standard deviation of ln FF from in-mask counts. Where only concentrations
    are known the limits are NaN and `log_sd` is 0.
    """

    fit_factor: float
    low95: float
    high95: float
    at_least: bool
    log_sd: float


@dataclass(frozen=True)
class Drift:
    """Ambient level after over before, its 95 % interval, and the chance of a difference as large by counting alone.

    `warn`: beyond `DRIFT_WARNING` and not by chance. `refuse`: beyond `DRIFT_REFUSAL`, too much to average over.
    From concentrations there is no interval and no chance: both are NaN, and the ratio alone decides.
    """

    ratio: float
    low95: float
    high95: float
    p_value: float
    warn: bool
    refuse: bool


@dataclass(frozen=True)
class SampledPhase:
    """One phase of a run: ambient air or mask, for some seconds, with a particle count or else a concentration.

    Purge seconds are dropped already. `exercise` names what the wearer did during a mask phase.
    Raises ValueError for both or neither of the two measures, for negative ones, and for no time.
    """

    kind: Literal["ambient", "mask"]
    seconds: float
    particles: float | None = None
    concentration: float | None = None
    exercise: str = ""

    def __post_init__(self) -> None:
        if (self.particles is None) == (self.concentration is None):
            raise ValueError("A phase has either a particle count or a concentration.")
        if self.concentration is not None and not (math.isfinite(self.concentration) and self.concentration >= 0):
            raise ValueError("A concentration is 0 or more.")
        Segment(self.particles or 0.0, self.seconds)  # raises for what cannot have been counted


@dataclass(frozen=True)
class ExerciseFitFactor:
    """The fit factor of one mask phase, and whether it enters the overall one.

    `ambient_enough` as the function of that name says; it means nothing for concentrations.
    """

    exercise: str
    counted: bool
    result: CountedFitFactor
    ambient_enough: bool


@dataclass(frozen=True)
class RunFitFactor:
    """A whole run: each mask phase in order, the overall fit factor, and the largest ambient drift around a phase.

    `drift` is None where no mask phase has an ambient one on both sides.
    """

    exercises: tuple[ExerciseFitFactor, ...]
    overall: CountedFitFactor
    drift: Drift | None


@dataclass(frozen=True)
class _Exposure:
    """A mask segment with the positions, in the run's list of ambient segments, of the one or two around it."""

    mask: Segment
    ambients: tuple[int, ...]


def counted_fit_factor(mask: Segment, before: Segment | None = None, after: Segment | None = None) -> CountedFitFactor:
    """The fit factor of one mask segment against the ambient segments around it.

    The two ambient *rates* are averaged, which is exact for linear drift; one of them missing, the other stands
    alone. Unequal ambient times enter the interval as the single count that carries the same information.
    Raises ValueError for no ambient segment, or none with a particle in it.
    """
    ambients = [segment for segment in (before, after) if segment is not None]
    return _combined([_Exposure(mask, tuple(range(len(ambients))))], ambients)


def ambient_enough(mask_seconds: float, before: Segment | None = None, after: Segment | None = None) -> bool:
    """Whether not a single particle in the mask, during `mask_seconds`, would show a fit factor of `PASS_LEVEL`.

    Where it would not, count longer or raise the ambient level. Errors as for `counted_fit_factor`.
    """
    return counted_fit_factor(Segment(0, mask_seconds), before, after).fit_factor >= PASS_LEVEL


def ambient_drift(before: Segment, after: Segment) -> Drift:
    """How the ambient level changed from one segment to another.

    `p_value` is that of the exact two-sided binomial test with equal tails, which agrees with the interval.
    Raises ValueError where neither segment has a particle.
    """
    if before.particles + after.particles == 0:
        raise ValueError("No particle was counted in the ambient air.")
    limits = ratio_limits(after.particles, before.particles, before.seconds / after.seconds)
    share = after.seconds / (before.seconds + after.seconds)
    p_value = equal_rates_p_value(after.particles, before.particles, share)
    ratio = after.rate / before.rate if before.particles else math.inf
    return _drift(ratio, limits, p_value)


def run_fit_factor(phases: Sequence[SampledPhase]) -> RunFitFactor:
    """The fit factors of a run whose phases are in order of time.

    Each mask phase is set against the nearest ambient phase before it and the nearest after it, or the only one of
    them. The overall fit factor is the harmonic mean over the mask phases without the grimace, that is one over
    their mean leakage; a phase without a particle leaks 0, which for phases of equal length pools the counts.

    The overall interval is Clopper–Pearson's, as for one exercise, on the in-mask and ambient counts that carry the
    same information as the phases together: a weighted sum of counts with mean m and variance v equals one count of
    m²/v. For equal times and one ambient level these are the pooled counts, and the interval is exact.
    An ambient phase shared by several exercises counts once.

    Phases with concentrations give fit factors without intervals. Raises ValueError for no ambient or no counted
    mask phase, counts mixed with concentrations, no ambient particle around a mask phase, or an in-mask
    concentration of 0.
    """
    ambients = [phase for phase in phases if phase.kind == "ambient"]
    masks = [phase for phase in phases if phase.kind == "mask"]
    counted = [phase.exercise.strip().lower() != GRIMACE for phase in masks]
    if not ambients:
        raise ValueError(NO_AMBIENT)
    if not any(counted):
        raise ValueError(NO_MASK)
    if len({phase.particles is None for phase in phases}) > 1:
        raise ValueError("A run has either particle counts or concentrations in all its phases, not both.")

    air = [_segment(phase) for phase in ambients]
    around = _ambients_around(phases)
    exposures = [_Exposure(_segment(phase), near) for phase, near in zip(masks, around, strict=True)]
    results = [counted_fit_factor(one.mask, *(air[near] for near in one.ambients)) for one in exposures]
    enough = [ambient_enough(one.mask.seconds, *(air[near] for near in one.ambients)) for one in exposures]
    overall = _combined(list(compress(exposures, counted)), air)
    drifts = [ambient_drift(air[near[0]], air[near[1]]) for near in sorted(set(around)) if len(near) == 2]
    if phases[0].particles is None:
        if any(result.at_least for result in results):
            raise ValueError(EMPTY_CONCENTRATION)
        results, overall = [_without_interval(result) for result in results], _without_interval(overall)
        drifts = [_drift(drift.ratio, _NO_INTERVAL, p_value=math.nan) for drift in drifts]
    return RunFitFactor(
        exercises=tuple(map(ExerciseFitFactor, (phase.exercise for phase in masks), counted, results, enough)),
        overall=overall,
        drift=max(drifts, key=lambda drift: _factor(drift.ratio), default=None),
    )


def _ambients_around(phases: Sequence[SampledPhase]) -> list[tuple[int, ...]]:
    """For each mask phase the positions, among the ambient phases, of the nearest before and the nearest after."""
    total = sum(phase.kind == "ambient" for phase in phases)
    around, seen = [], 0
    for phase in phases:
        if phase.kind == "ambient":
            seen += 1
        else:
            around.append(tuple(range(max(seen - 1, 0), min(seen + 1, total))))
    return around


def _combined(exposures: Sequence[_Exposure], ambients: Sequence[Segment]) -> CountedFitFactor:
    """One fit factor from the mean leakage of mask segments, each against the ambient segments around it."""
    if not all(exposure.ambients for exposure in exposures):
        raise ValueError("A fit factor needs an ambient count before or after the mask.")
    air = [_mean([ambients[near].rate for near in exposure.ambients]) for exposure in exposures]
    if min(air) == 0:
        raise ValueError(EMPTY_AMBIENT)
    # What each mask segment would have counted without a mask.
    unmasked = [rate * exposure.mask.seconds for rate, exposure in zip(air, exposures, strict=True)]
    leaks = [exposure.mask.particles / count for exposure, count in zip(exposures, unmasked, strict=True)]
    leak = _mean(leaks)

    # How much of the result hangs on each exercise: its leakage, or while none leaked the time it had to do so.
    weights = leaks if leak else unmasked
    pull = [0.0] * len(ambients)
    for exposure, rate, weight in zip(exposures, air, weights, strict=True):
        for near in exposure.ambients:
            pull[near] += weight / sum(weights) / rate / len(exposure.ambients)
    variance = math.fsum(p**2 * near.rate / near.seconds for p, near in zip(pull, ambients, strict=True))
    ambient_particles = 1 / variance
    if leak == 0:
        limit = zero_count_limit(math.fsum(unmasked), ambient_particles)
        return CountedFitFactor(limit, limit, math.inf, True, ZERO_COUNT_LOG_SD)

    mask_particles = (leak * len(leaks)) ** 2 / math.fsum(
        share / count for share, count in zip(leaks, unmasked, strict=True)
    )
    limits = ratio_limits(ambient_particles, mask_particles, mask_particles / ambient_particles / leak)
    return CountedFitFactor(1 / leak, limits.low, limits.high, False, log_sd(mask_particles))


def _drift(ratio: float, limits: Interval, p_value: float) -> Drift:
    factor = _factor(ratio)
    by_chance = p_value >= DRIFT_CHANCE  # never for NaN
    warn = factor > DRIFT_WARNING and not by_chance
    return Drift(ratio, limits.low, limits.high, p_value, warn, refuse=factor > DRIFT_REFUSAL)


def _factor(ratio: float) -> float:
    """How many times larger the larger side of a ratio is."""
    return max(ratio, 1 / ratio) if ratio else math.inf


def _mean(numbers: Sequence[float]) -> float:
    return math.fsum(numbers) / len(numbers)


def _segment(phase: SampledPhase) -> Segment:
    """A phase as a segment. A concentration stands for as many particles: only ratios of them are used."""
    if phase.particles is None:
        return Segment((phase.concentration or 0.0) * phase.seconds, phase.seconds)
    return Segment(phase.particles, phase.seconds)


def _without_interval(result: CountedFitFactor) -> CountedFitFactor:
    return replace(result, low95=math.nan, high95=math.nan, log_sd=0.0)
