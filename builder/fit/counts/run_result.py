"""What a log says about the fit: the phases, their fit factors, and what makes the figures doubtful."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Literal

from builder.fit.counted import counted
from builder.fit.counts.counting import RunFitFactor, SampledPhase, run_fit_factor
from builder.fit.counts.doubts import MOST_SAMPLED_CM3, drifted, more_inside
from builder.fit.counts.run_doubts import limit_warnings, low_air_warnings, missing_air_warnings, tail_warnings
from builder.fit.counts.run_log import Clock, Irregular, RunLog, Stretch
from builder.fit.counts.sampled_air import AMBIENT, KINDS, MASK, PURGE, SWAPPED
from builder.fit.counts.schedule import POOR_FIT
from builder.fit.counts.two_sensors import sensor_phases, sensor_warnings
from builder.fit.levels import PASS_LEVEL

# The shortest exercise of 29 CFR 1910.134 App. A, the grimace, and its ambient sampling (value from memory).
SHORTEST_MASK_S, SHORTEST_AMBIENT_S = 15.0, 5.0

_NAMES: dict[int, Literal["ambient", "mask"]] = {AMBIENT: "ambient", MASK: "mask"}


@dataclass(frozen=True)
class RunResult:
    """The phases that count, in order, their fit factors, and the warnings."""

    phases: tuple[SampledPhase, ...]
    fit: RunFitFactor
    warnings: tuple[str, ...]


def run_result(log: RunLog, exercises: Sequence[str], sampled_cm3: float = MOST_SAMPLED_CM3) -> RunResult:
    """Work out a log, whose exercises are numbered in the order of `exercises`.

    A count that comes from concentration and flow is rounded to whole particles. A concentration of 0 in the mask is
    taken for the smallest reading of the log, which makes the fit factor a lower limit. `sampled_cm3` is the air that
    the counter takes in half a minute. Raises ValueError where the log gives no fit factor, as `run_fit_factor` does.
    """
    if log.at_once:
        phases = sensor_phases(log, exercises)
    else:
        sampled = (stretch for stretch in log.stretches if stretch.kind != PURGE and _seconds(stretch) > 0)
        phases = tuple(_phase(stretch, log.counted, exercises) for stretch in sampled)
    fit = _fit(phases, log.least)
    names = [_name(stretch, exercises) for stretch in log.stretches]
    warnings = chain(
        _clock_warnings(log.clock),
        _cut_warnings(log),
        _short_warnings(log.stretches, names),
        tail_warnings(log, names),
        missing_air_warnings(log),
        limit_warnings(log),
        _drift_warnings(fit),
        _few_counts_warnings(fit) if log.counted else _zero_warnings(fit, log.least),
        low_air_warnings(log, fit, sampled_cm3),
        sensor_warnings(log) if log.at_once else (),
        _below_one_warnings(fit, "which column is inside" if log.at_once else "which rows are ambient and which mask"),
    )
    return RunResult(phases, fit, tuple(warnings))


def _fit(phases: Sequence[SampledPhase], least: float) -> RunFitFactor:
    """Give the fit factors; with concentrations of 0 in the mask those that the smallest reading there would give."""
    zero = [phase.kind == "mask" and phase.concentration == 0 for phase in phases]
    if not any(zero) or math.isinf(least):
        return run_fit_factor(phases)
    bounded = [replace(phase, concentration=least) if of else phase for phase, of in zip(phases, zero, strict=True)]
    fit = run_fit_factor(bounded)
    masks = [of for phase, of in zip(phases, zero, strict=True) if phase.kind == "mask"]
    exercises = tuple(
        replace(one, result=replace(one.result, at_least=one.result.at_least or of))
        for one, of in zip(fit.exercises, masks, strict=True)
    )
    limited = any(one.counted and one.result.at_least for one in exercises)
    return replace(fit, exercises=exercises, overall=replace(fit.overall, at_least=limited))


def _phase(stretch: Stretch, counted: bool, exercises: Sequence[str]) -> SampledPhase:
    return SampledPhase(
        kind=_NAMES[stretch.kind],
        seconds=_seconds(stretch),
        particles=float(round(stretch.amount)) if counted else None,
        concentration=None if counted else stretch.amount / stretch.seconds,
        exercise=exercises[stretch.exercise] if stretch.kind == MASK else "",
    )


def _seconds(stretch: Stretch) -> float:
    return round(stretch.seconds, 6)  # a sum of differences of decimal fractions


def _clock_warnings(clock: Clock) -> Iterator[str]:
    usual = f"{clock.usual:g} s"
    if clock.no_start:
        yield (
            f"Row {clock.no_start} is left out: its time does not count from the start of the log, "
            "so its interval is unknown."
        )
    if clock.gaps.times:
        yield (
            f"{_times(clock.gaps, 'gap')} in time, the longest of {clock.gaps.most:g} s, where rows are {usual} apart. "
            f"The row after a gap is taken to cover {usual}."
        )
    if clock.overlaps.times:
        yield f"{_times(clock.overlaps, 'overlap')} in time: rows much closer together than the usual {usual}."
    if clock.repeats.times:
        yield f"{_times(clock.repeats, 'row')} with the same time as the row before: left out."
    if clock.backwards.times:
        yield (
            f"{_times(clock.backwards, 'step')} of the clock backwards, by up to {clock.backwards.most:g} s: "
            "the row after a step is left out."
        )


def _cut_warnings(log: RunLog) -> Iterator[str]:
    if log.cut and log.cut.wrong > POOR_FIT:
        yield (
            f"The schedule does not fit the steps of the log: {log.cut.wrong:.0%} of it lies on the wrong side of one "
            "or beyond the log. Look at the chart, and give the phases with the seconds they had."
        )


def _times(irregular: Irregular, noun: str) -> str:
    return f"{counted(irregular.times, noun)} (first in row {irregular.row})"


def _name(stretch: Stretch, exercises: Sequence[str]) -> str:
    kind = KINDS[stretch.kind]
    return ", ".join(filter(None, (kind, exercises[stretch.exercise], f"from row {stretch.row}")))


def _short_warnings(stretches: Sequence[Stretch], names: Sequence[str]) -> Iterator[str]:
    """Name the stretches that were sampled for too short a time, once for each reason."""
    gone: dict[float, list[str]] = {}
    hardly: dict[float, list[str]] = {}
    short: dict[float, list[str]] = {}
    for stretch, name in zip(stretches, names, strict=True):
        shortest = SHORTEST_MASK_S if stretch.kind in (MASK, SWAPPED) else SHORTEST_AMBIENT_S
        if stretch.kind == PURGE:
            continue
        if stretch.seconds == 0:
            gone.setdefault(stretch.purged, []).append(name)
        elif stretch.seconds < stretch.purged:
            hardly.setdefault(stretch.purged, []).append(f"of {name}, only {stretch.seconds:g} s")
        elif stretch.seconds < shortest:
            short.setdefault(shortest, []).append(f"{name}, {stretch.seconds:g} s")
    for purged, of in gone.items():
        yield f"Nothing is left of {'; '.join(of)}: the purge takes {purged:g} s."
    for purged, of in hardly.items():
        left = "; ".join(of)
        yield (
            f"{left[0].upper()}{left[1:]} are left after a purge of {purged:g} s: "
            "sample longer, or make the hose shorter."
        )
    for shortest, of in short.items():
        yield f"Too short a sample: {'; '.join(of)}. Published protocols sample {shortest:g} s or more."


def _zero_warnings(fit: RunFitFactor, least: float) -> Iterator[str]:
    zero = [one.exercise or "mask" for one in fit.exercises if one.result.at_least]
    if zero:
        yield (
            f"No particle shows in {', '.join(dict.fromkeys(zero))}. Without the sampled air the limit rests on the "
            f"smallest reading of the log, {least:g}: give particle counts, or the flow in a column flow_cm3_s."
        )


def _drift_warnings(fit: RunFitFactor) -> Iterator[str]:
    if not fit.drift:
        return
    if fit.drift.refuse:
        yield f"{drifted(fit.drift.ratio)} Repeat the run, or set it aside."
    elif fit.drift.warn:
        change = f"The ambient level changed ×{fit.drift.ratio:.2g} between two samplings"
        yield f"{change}. Keep doors shut, and the source of particles steady."


def _few_counts_warnings(fit: RunFitFactor) -> Iterator[str]:
    """Name the exercises of which not a single particle could have shown the pass level."""
    weak = [one.exercise or "mask" for one in fit.exercises if one.counted and not one.ambient_enough]
    if weak:
        yield (
            f"Too few ambient counts to show a fit factor of {PASS_LEVEL:g} even without a particle in the mask: "
            f"{', '.join(dict.fromkeys(weak))}. Count longer, or raise the ambient level."
        )


def _below_one_warnings(fit: RunFitFactor, remedy: str) -> Iterator[str]:
    if fit.overall.fit_factor < 1 and not fit.overall.at_least:
        yield f"{more_inside(fit.overall.fit_factor)} Check {remedy}."
