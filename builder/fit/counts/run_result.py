"""What a log says about the fit: the phases, their fit factors, and what makes the figures doubtful."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Literal

from builder.fit.counted import counted
from builder.fit.counts.counting import RunFitFactor, SampledPhase, run_fit_factor
from builder.fit.counts.doubt_texts import REMARKS, Doubt, doubt
from builder.fit.counts.doubts import MOST_SAMPLED_CM3
from builder.fit.counts.log_clock import Clock
from builder.fit.counts.run_doubts import limit_doubts, low_air_doubts, missing_air_doubts, tail_doubts
from builder.fit.counts.run_log import RunLog, Stretch
from builder.fit.counts.sampled_air import AMBIENT, KINDS, MASK, PURGE, SWAPPED
from builder.fit.counts.schedule import POOR_FIT
from builder.fit.counts.two_sensors import sensor_doubts, sensor_phases, with_calibration
from builder.fit.levels import PASS_LEVEL
from builder.fit.phrases import phrase

# The shortest exercise of 29 CFR 1910.134 App. A, the grimace, and its ambient sampling (value from memory).
SHORTEST_MASK_S, SHORTEST_AMBIENT_S = 15.0, 5.0

_NAMES: dict[int, Literal["ambient", "mask"]] = {AMBIENT: "ambient", MASK: "mask"}


@dataclass(frozen=True)
class RunResult:
    """The phases that count, in order, their fit factors, and what makes them doubtful."""

    phases: tuple[SampledPhase, ...]
    fit: RunFitFactor
    doubts: tuple[Doubt, ...]

    @property
    def warnings(self) -> tuple[str, ...]:
        """The sentences of the doubts."""
        return tuple(doubt.text for doubt in self.doubts)


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
    if log.at_once and log.counted:
        fit = with_calibration(fit, log)
    names = [_name(stretch, exercises) for stretch in log.stretches]
    doubts = chain(
        _remark_doubts(log),
        _clock_doubts(log.clock),
        _cut_doubts(log),
        _short_doubts(log.stretches, names),
        tail_doubts(log, names),
        missing_air_doubts(log),
        limit_doubts(log),
        _drift_doubts(fit),
        _few_counts_doubts(fit) if log.counted else _zero_doubts(fit, log.least),
        low_air_doubts(log, fit, sampled_cm3),
        sensor_doubts(log) if log.at_once else (),
        _below_one_doubts(fit, "below_one_at_once" if log.at_once else "below_one"),
    )
    return RunResult(phases, fit, tuple(doubts))


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


def _remark_doubts(log: RunLog) -> Iterator[Doubt]:
    for told, noun in REMARKS.items():
        if found := log.remarks.get(told):
            yield doubt(told, times=counted(found.times, noun), row=found.row)


def _clock_doubts(clock: Clock) -> Iterator[Doubt]:
    if clock.no_start:
        yield doubt("no_start", row=clock.no_start)
    kinds = (
        ("gaps", clock.gaps, "gap"),
        ("overlaps", clock.overlaps, "overlap"),
        ("coarse_clock" if clock.coarse else "repeats", clock.repeats, "row"),
        ("backwards", clock.backwards, "step"),
    )
    for told, irregular, noun in kinds:
        if irregular.times:
            yield doubt(
                told,
                times=counted(irregular.times, noun),
                row=irregular.row,
                most=f"{irregular.most:g}",
                usual=f"{clock.usual:g}",
            )


def _cut_doubts(log: RunLog) -> Iterator[Doubt]:
    if log.cut and log.cut.wrong > POOR_FIT:
        yield doubt("poor_schedule", wrong=phrase("percent", n=f"{100 * log.cut.wrong:.0f}"))


def _name(stretch: Stretch, exercises: Sequence[str]) -> str:
    kind = KINDS[stretch.kind]
    return ", ".join(filter(None, (kind, exercises[stretch.exercise], phrase("from_row", row=stretch.row))))


def _short_doubts(stretches: Sequence[Stretch], names: Sequence[str]) -> Iterator[Doubt]:
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
            hardly.setdefault(stretch.purged, []).append(phrase("only", name=name, seconds=f"{stretch.seconds:g}"))
        elif stretch.seconds < shortest:
            short.setdefault(shortest, []).append(f"{name}, {stretch.seconds:g} s")
    for purged, of in gone.items():
        yield doubt("nothing_left", phases="; ".join(of), purged=f"{purged:g}")
    for purged, of in hardly.items():
        yield doubt("hardly_left", phases=phrase("and_of").join(of), purged=f"{purged:g}")
    for least, of in short.items():
        yield doubt("too_short", phases="; ".join(of), least=f"{least:g}")


def _zero_doubts(fit: RunFitFactor, least: float) -> Iterator[Doubt]:
    zero = [one.exercise or "mask" for one in fit.exercises if one.result.at_least]
    if zero:
        yield doubt("none_in_mask", exercises=_each_once(zero), least=f"{least:g}")


def _drift_doubts(fit: RunFitFactor) -> Iterator[Doubt]:
    if fit.drift and (fit.drift.refuse or fit.drift.warn):
        yield doubt("too_much_drift" if fit.drift.refuse else "drift", ratio=f"{fit.drift.ratio:.2g}")


def _few_counts_doubts(fit: RunFitFactor) -> Iterator[Doubt]:
    """Name the exercises of which not a single particle could have shown the pass level."""
    weak = [one.exercise or "mask" for one in fit.exercises if one.counted and not one.ambient_enough]
    if weak:
        yield doubt("too_few_counts", level=f"{PASS_LEVEL:g}", exercises=_each_once(weak))


def _below_one_doubts(fit: RunFitFactor, told: str) -> Iterator[Doubt]:
    if round(fit.overall.fit_factor, 9) < 1 and not fit.overall.at_least:
        yield doubt(told, fit_factor=f"{fit.overall.fit_factor:.2g}")


def _each_once(names: Sequence[str]) -> str:
    return ", ".join(dict.fromkeys(names))
