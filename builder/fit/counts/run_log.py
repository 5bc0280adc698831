"""From the rows of a counter's log to the stretches of a run: how long each phase was sampled, how much was counted.

Rows come in chunks and are summed at once, so that a log of any length fits in memory.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from builder.fit.counts.log_clock import (
    COARSE_SHARE,
    FIRST_ROW,
    GAP,
    OVERLAP,
    REGULAR_ROWS,
    Clock,
    Irregular,
    spread_steps,
    usual_step,
)
from builder.fit.counts.sampled_air import AMBIENT, KINDS, MASK, PURGE, SAME_AIR
from builder.fit.counts.schedule import ScheduleCut
from builder.fit.counts.trace import BINS, Level, Trace

MOST_STRETCHES = 1000
"""A run has some tens of stretches. More would mean that the log is something else."""

MANY_STRETCHES = "The phase or the exercise changes more than {most} times."

ROUNDING_S = 1e-6

# What the sensor inside and the one outside breathe, by kind.
_AIR_INSIDE = np.array([AMBIENT, MASK, PURGE, AMBIENT, AMBIENT])
_AIR_OUTSIDE = np.array([AMBIENT, AMBIENT, PURGE, AMBIENT, MASK])


@dataclass(frozen=True)
class Rows:
    """Some rows of a log, in order. `number` names them in messages.

    `seconds` is the time at the end of each row's interval; `kind` counts in `KINDS`, `exercise` in whatever names the
    caller has. `amount` holds the particles counted in the interval or, where `concentration` is true, particles per
    cm³; with a `flow` in cm³/s that becomes a count. Where two sensors measure at once, `amount` is of the one inside
    and `outside` of the other. `missing` marks rows
    without a reading, whose time counts for nothing. `dated`: the times do not begin anew at midnight. `lengths` is how
    long each row lasted, where that is told.
    """

    number: NDArray[np.int_]
    seconds: NDArray[np.float64]
    kind: NDArray[np.int_]
    exercise: NDArray[np.int_]
    amount: NDArray[np.float64]
    concentration: bool = False
    flow: NDArray[np.float64] | None = None
    outside: NDArray[np.float64] | None = None
    missing: NDArray[np.bool_] | None = None
    dated: bool = True
    lengths: NDArray[np.float64] | None = None


@dataclass(frozen=True)
class Purge:
    """Seconds to drop whenever the sampling line was switched to room air or to the mask."""

    ambient: float = 0.0
    mask: float = 0.0


NO_PURGE = Purge()


@dataclass(frozen=True)
class Stretch:
    """Rows of one kind and exercise that follow each other; `row` is the first of them.

    `begin` and `end` are seconds from the start of the log. `seconds` and `amount` hold what is left after the purge:
    sampling time, and particles or, where only concentrations are known, concentration × seconds. `purged` is the time
    that the purge took. `outside` is the amount of a second sensor at the same time.
    """

    kind: int
    exercise: int
    row: int
    begin: float
    end: float
    seconds: float
    amount: float
    purged: float
    outside: float = 0.0


@dataclass
class TopReading:
    """The highest ambient reading, how often it was given, and of how many."""

    most: float = -1.0
    times: int = 0
    rows: int = 0

    def note(self, readings: NDArray[np.float64]) -> None:
        """Take in some more readings."""
        if readings.size:
            highest = float(readings.max())
            if highest > self.most:
                self.most, self.times = highest, 0
            self.times += int((readings == self.most).sum())
            self.rows += readings.size


@dataclass(frozen=True)
class RunLog:
    """A whole log: its stretches in order, the clock, and the levels for a chart, purged rows as kind `PURGE`.

    `counted` says that amounts are particle counts, not concentrations; `by_weight`, that these are of dust.
    A level is the mean of `bin_s` seconds; `least` is the smallest reading above 0. `at_once`: two
    sensors measured, inside and outside. `cut` is what made phases of a log that has none. `remarks` say what was
    odd in how it is written, by the names in `REMARKS`.
    """

    stretches: tuple[Stretch, ...]
    counted: bool
    clock: Clock
    levels: tuple[Level, ...]
    by_weight: bool = False
    bin_s: float = 1.0
    least: float = math.inf
    top: TopReading = field(default_factory=TopReading)
    cut: ScheduleCut | None = None
    at_once: bool = False
    remarks: Mapping[str, Irregular] = field(default_factory=dict)


class TooManyStretchesError(ValueError):
    """A log that changes its phase more often than any run does."""


def read_log(
    chunks: Iterable[Rows], purge: Purge = NO_PURGE, *, cut: ScheduleCut | None = None, bins: int = BINS
) -> RunLog:
    """Sum the rows of a log; `cut` says what each one is instead of the rows themselves.

    An interval that the purge touches is dropped whole. A row whose time does not increase has no interval: it is left
    out and noted. In a regular log the row after a gap covers the usual interval. Raises TooManyStretchesError.
    """
    summing = _Summing(purge, cut, bins)
    for rows in chunks:
        if rows.seconds.size:
            summing.add(rows)
    levels = summing.trace.levels() if summing.trace else ()
    width = summing.trace.width if summing.trace else 1.0
    return RunLog(
        tuple(summing.stretches),
        summing.counted,
        summing.clock,
        levels,
        bin_s=width,
        least=summing.least,
        top=summing.top,
        cut=cut,
        at_once=summing.at_once,
    )


class _Summing:
    """What is known after some chunks, and what is needed to go on with the next."""

    def __init__(self, purge: Purge, cut: ScheduleCut | None, bins: int) -> None:
        self.cut, self.bins = cut, bins
        self.purge = np.array([purge.ambient, purge.mask, np.inf, purge.ambient, purge.mask])
        self.clock = Clock()
        self.stretches: list[Stretch] = []
        self.counted = True
        self.least, self.top = math.inf, TopReading()
        self.at_once = False
        self.trace: Trace | None = None
        self.stamp = self.elapsed = 0.0
        self.line, self.line_since = -1, 0.0  # what the sampling line breathes, and since when

    def add(self, rows: Rows) -> None:
        """Sum a chunk, which is not empty."""
        step, interval = self._intervals(rows)
        if rows.lengths is not None:
            interval = np.minimum(rows.lengths, step)
        if rows.missing is not None:
            interval = np.where(rows.missing, 0.0, interval)
        end = self.elapsed + np.cumsum(step)
        begin = end - interval
        outside, self.at_once = rows.outside, rows.outside is not None
        if self.cut:
            kind, exercise = self.cut.of(begin, end)
            if self.at_once:  # both in room air
                kind = np.where(kind == AMBIENT, SAME_AIR, kind)
            rows = replace(rows, kind=kind, exercise=exercise)
        switched = np.diff(rows.kind, prepend=self.line) != 0
        last_switch = np.maximum.accumulate(np.where(switched, np.arange(switched.size), -1))
        since = np.where(last_switch < 0, self.line_since, begin[last_switch])
        kept = (interval > 0) & (begin - since >= self.purge[rows.kind] - ROUNDING_S)
        self.least = min(self.least, float(rows.amount.min(where=rows.amount > 0, initial=math.inf)))
        readings = (
            rows.amount[kept & (rows.kind == AMBIENT)] if outside is None else outside[kept & (rows.kind == MASK)]
        )
        self.top.note(readings)
        weight = (interval if rows.concentration else 1.0) * (1.0 if rows.flow is None else rows.flow)
        amount = rows.amount * weight
        second = np.zeros(amount.size) if outside is None else outside * weight
        self.counted = not rows.concentration or rows.flow is not None

        self._sum(rows, begin, end, np.array([interval, amount, interval, second]) * [kept, kept, ~kept, kept])
        timed = interval > 0
        kind = np.where(kept, _AIR_INSIDE[rows.kind], PURGE)
        if self.trace is None:
            self.trace = Trace(float(np.median(interval[timed])) if timed.any() else 1.0, len(KINDS), self.bins)
        self.trace.add((begin + end)[timed] / 2, interval[timed], amount[timed], kind[timed])
        if outside is not None:
            other = np.where(kept, _AIR_OUTSIDE[rows.kind], PURGE)
            self.trace.add((begin + end)[timed] / 2, interval[timed], second[timed], other[timed])
        self.stamp, self.elapsed = float(rows.seconds[-1]), float(end[-1])
        self.line, self.line_since = int(rows.kind[-1]), float(since[-1])

    def _intervals(self, rows: Rows) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Give how far the clock went on at each row, and for how long the row was sampled."""
        step = np.diff(rows.seconds, prepend=self.stamp)
        number = rows.number
        if self.trace is None:  # the first chunk
            self.clock.coarse = step.size > REGULAR_ROWS and bool(np.mean(step[1:] == 0) >= COARSE_SHARE)
            typical, _ = usual_step(step[1:])
            if self.clock.coarse and step[0] > FIRST_ROW * typical > 0:
                step[0] = typical
        if self.clock.coarse:
            same = np.flatnonzero(step[1:] == 0) + 1
            self.clock.repeats.note(number[same], step[same])
            step = spread_steps(step)
        seen = step
        if self.trace is None:
            typical, self.clock.usual = usual_step(step[1:]) if rows.lengths is None else (0.0, 0.0)
            if step[0] > FIRST_ROW * typical > 0:
                step[0] = self.clock.usual
                if not step[0]:
                    self.clock.no_start = int(number[0])
            if step[0] == 0:
                number, seen = number[1:], step[1:]
        self.clock.backwards.note(number[seen < 0], -seen[seen < 0])
        if not self.clock.coarse:
            self.clock.repeats.note(number[seen == 0], seen[seen == 0])
        interval = np.maximum(step, 0.0)
        if usual := self.clock.usual:
            gap, overlap = seen > GAP * usual, (seen > 0) & (seen <= OVERLAP * usual)
            self.clock.gaps.note(number[gap], seen[gap])
            self.clock.overlaps.note(number[overlap], seen[overlap])
            interval = np.where(interval > GAP * usual, usual, interval)
        return np.maximum(step, 0.0), interval

    def _sum(self, rows: Rows, begin: NDArray[np.float64], end: NDArray[np.float64], sums: NDArray[np.float64]) -> None:
        """Add what the rows have of each sum, in the order of `Stretch`, to the open stretch and to new ones."""
        last = self.stretches[-1] if self.stretches else None
        changed = np.diff(rows.kind, prepend=last.kind if last else -1) != 0
        changed |= np.diff(rows.exercise, prepend=last.exercise if last else -1) != 0
        starts = np.flatnonzero(changed)
        if len(self.stretches) + starts.size > MOST_STRETCHES:
            raise TooManyStretchesError(MANY_STRETCHES.format(most=MOST_STRETCHES))
        if not changed[0]:
            starts = np.concatenate(([0], starts))
        finish = end[np.append(starts[1:], changed.size) - 1]
        added = np.add.reduceat(sums, starts, axis=1)
        for start, until, (seconds, amount, purged, outside) in zip(
            starts, finish.tolist(), added.T.tolist(), strict=True
        ):
            if last and not changed[start]:
                self.stretches[-1] = replace(
                    last,
                    end=until,
                    seconds=last.seconds + seconds,
                    amount=last.amount + amount,
                    purged=last.purged + purged,
                    outside=last.outside + outside,
                )
                continue
            kind, exercise, row = (int(column[start]) for column in (rows.kind, rows.exercise, rows.number))
            self.stretches.append(
                Stretch(kind, exercise, row, float(begin[start]), until, seconds, amount, purged, outside)
            )
