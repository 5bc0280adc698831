"""Two sensors at once, inside the mask and outside: their difference taken out, and phases as of one counter."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from statistics import NormalDist

from builder.fit.counts.counting import CountedFitFactor, RunFitFactor, SampledPhase
from builder.fit.counts.doubt_texts import Doubt, doubt
from builder.fit.counts.run_log import RunLog, Stretch
from builder.fit.counts.sampled_air import MASK, SAME_AIR, SWAPPED
from builder.fit.levels import SHOWN_LEVEL, tails

ONE_SIDED, TWO_SIDED = NormalDist().inv_cdf(SHOWN_LEVEL), NormalDist().inv_cdf(tails(SHOWN_LEVEL)[1])
"""Standard deviations to a limit."""
_DECIMALS = 6
"""Of the seconds of a phase."""


def sensor_ratio(log: RunLog) -> float | None:
    """Give what the sensor inside reads for 1 of the one outside, in the same air. None where the log does not tell.

    Where both breathed the same air it is the ratio of what they read. Else, where the two were swapped during the run,
    the leakage that both orders gave is the same, so that their ratio is the square of it.
    """
    same = _sums(log, SAME_AIR)
    if same[0] > 0 and same[1] > 0:
        return same[0] / same[1]
    normal, swapped = _sums(log, MASK), _sums(log, SWAPPED)
    if min(*normal, *swapped) > 0:
        return math.sqrt((normal[0] / normal[1]) / (swapped[1] / swapped[0]))
    return None


def sensor_phases(log: RunLog, exercises: Sequence[str]) -> tuple[SampledPhase, ...]:
    """Give each stretch in the mask with the room air of the same seconds, half before it and half after.

    The mean of both halves is the room air of just these seconds, and every particle counts once. A sensor that reads
    more has counted as if for longer: the seconds outside are those that the sensor in the mask would have needed.
    """
    ratio = sensor_ratio(log) or 1.0
    phases: list[SampledPhase] = []
    for stretch in _in_mask(log):
        seconds = round(stretch.seconds, _DECIMALS)
        swapped = stretch.kind == SWAPPED
        inside, outside = (stretch.outside, stretch.amount) if swapped else (stretch.amount, stretch.outside)
        longer = ratio if swapped else 1 / ratio
        exercise = exercises[stretch.exercise]
        if log.counted:
            first = float(round(outside) // 2)
            air = [SampledPhase("ambient", seconds * longer / 2, part) for part in (first, round(outside) - first)]
            mask = SampledPhase("mask", seconds, float(round(inside)), exercise=exercise)
        else:
            level = outside / stretch.seconds / longer
            air = [SampledPhase("ambient", seconds / 2, concentration=level)] * 2
            mask = SampledPhase("mask", seconds, concentration=inside / stretch.seconds, exercise=exercise)
        phases += [air[0], mask, air[1]]
    return tuple(phases)


def with_calibration(fit: RunFitFactor, log: RunLog) -> RunFitFactor:
    """Widen the limits by how surely the ratio of the sensors is known from what was counted for it.

    The logarithm of the ratio moves that of each fit factor as much, where the sensors were swapped the other way. So
    of the overall value it moves the leakage on one side less that on the other; exercises without a particle weigh
    nothing there. Variances of the logarithms add up, a count of n having 1/n.
    """
    variance = _ratio_variance(log)
    if not variance:
        return fit
    leaks = [0.0 if one.result.at_least or not one.counted else 1 / one.result.fit_factor for one in fit.exercises]
    turned = [-leak if stretch.kind == SWAPPED else leak for stretch, leak in zip(_in_mask(log), leaks, strict=True)]
    share = abs(math.fsum(turned)) / math.fsum(leaks) if any(leaks) else 1.0
    exercises = tuple(replace(one, result=_widened(one.result, variance)) for one in fit.exercises)
    return replace(fit, exercises=exercises, overall=_widened(fit.overall, share**2 * variance))


def sensor_doubts(log: RunLog) -> Iterator[Doubt]:
    """Say what was made of the difference between the sensors."""
    ratio = sensor_ratio(log)
    if ratio is None:
        yield doubt("sensors_not_compared")
    else:
        yield doubt("sensors_compared" if log.counted else "sensor_levels_compared", ratio=f"{ratio:.3g}")


def _ratio_variance(log: RunLog) -> float:
    """Give the variance of the logarithm of the ratio; 0 where the log does not tell it."""
    same = _sums(log, SAME_AIR)
    if min(same) > 0:
        return math.fsum(1 / count for count in same)
    halves = (*_sums(log, MASK), *_sums(log, SWAPPED))
    return math.fsum(1 / count for count in halves) / 4 if min(halves) > 0 else 0.0


def _widened(found: CountedFitFactor, variance: float) -> CountedFitFactor:
    log_sd = math.sqrt(found.log_sd**2 + variance)
    if found.at_least:
        limit = found.fit_factor * math.exp(-ONE_SIDED * math.sqrt(variance))
        return replace(found, fit_factor=limit, low95=limit, log_sd=log_sd)
    down, up = (
        math.hypot(math.log(limit / found.fit_factor), TWO_SIDED * math.sqrt(variance))
        for limit in (found.low95, found.high95)
    )
    return replace(
        found, low95=found.fit_factor * math.exp(-down), high95=found.fit_factor * math.exp(up), log_sd=log_sd
    )


def _in_mask(log: RunLog) -> list[Stretch]:
    """Give the stretches in the mask, by whichever sensor, that are long enough to be written."""
    return [one for one in log.stretches if one.kind in (MASK, SWAPPED) and round(one.seconds, _DECIMALS) > 0]


def _sums(log: RunLog, kind: int) -> tuple[float, float]:
    """Add up what both sensors read in the stretches of a kind."""
    some: list[Stretch] = [stretch for stretch in log.stretches if stretch.kind == kind]
    return math.fsum(stretch.amount for stretch in some), math.fsum(stretch.outside for stretch in some)
