"""What a log says about the fit: the phases, their fit factors, and what makes the figures doubtful."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Literal

from builder.fit.counted import counted
from builder.fit.counts.counting import RunFitFactor, SampledPhase, run_fit_factor
from builder.fit.counts.run_log import Clock, Irregular, RunLog, Stretch
from builder.fit.counts.sampled_air import AMBIENT, MASK, PURGE
from builder.fit.counts.schedule import POOR_FIT
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


def run_result(log: RunLog, exercises: Sequence[str]) -> RunResult:
    """Work out a log, whose exercises are numbered in the order of `exercises`.

    A count that comes from concentration and flow is rounded to whole particles. Raises ValueError where the log gives
    no fit factor, as `run_fit_factor` does.
    """
    sampled = (stretch for stretch in log.stretches if stretch.kind != PURGE and _seconds(stretch) > 0)
    phases = tuple(_phase(stretch, log.counted, exercises) for stretch in sampled)
    fit = run_fit_factor(phases)
    warnings = chain(
        _clock_warnings(log.clock),
        _cut_warnings(log),
        chain.from_iterable(_short_warnings(stretch, exercises) for stretch in log.stretches),
        _drift_warnings(fit),
        _few_counts_warnings(fit) if log.counted else (),
        _below_one_warnings(fit),
    )
    return RunResult(phases, fit, tuple(warnings))


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


def _short_warnings(stretch: Stretch, exercises: Sequence[str]) -> Iterator[str]:
    if stretch.kind == PURGE:
        return
    name = ", ".join(filter(None, (_NAMES[stretch.kind], exercises[stretch.exercise], f"from row {stretch.row}")))
    shortest = SHORTEST_MASK_S if stretch.kind == MASK else SHORTEST_AMBIENT_S
    if stretch.seconds == 0:
        yield f"Nothing is left of {name}: the purge takes {stretch.purged:g} s."
    elif stretch.seconds < stretch.purged:
        yield (
            f"Of {name}, only {stretch.seconds:g} s are left after a purge of {stretch.purged:g} s: "
            "sample longer, or make the hose shorter."
        )
    elif stretch.seconds < shortest:
        yield f"Too short a sample: {name}, {stretch.seconds:g} s. Published protocols sample {shortest:g} s or more."


def _drift_warnings(fit: RunFitFactor) -> Iterator[str]:
    if not fit.drift:
        return
    change = f"The ambient level changed ×{fit.drift.ratio:.2g} between two samplings"
    if fit.drift.refuse:
        yield f"{change}: too much to be averaged. Repeat the run, or set it aside."
    elif fit.drift.warn:
        yield f"{change}. Keep doors shut, and the source of particles steady."


def _few_counts_warnings(fit: RunFitFactor) -> Iterator[str]:
    """Name the exercises of which not a single particle could have shown the pass level."""
    weak = [one.exercise or "mask" for one in fit.exercises if one.counted and not one.ambient_enough]
    if weak:
        yield (
            f"Too few ambient counts to show a fit factor of {PASS_LEVEL:g} even without a particle in the mask: "
            f"{', '.join(dict.fromkeys(weak))}. Count longer, or raise the ambient level."
        )


def _below_one_warnings(fit: RunFitFactor) -> Iterator[str]:
    if fit.overall.fit_factor < 1 and not fit.overall.at_least:
        yield "More particles were counted in the mask than outside: check which rows are ambient and which mask."
