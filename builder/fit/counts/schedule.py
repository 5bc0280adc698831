"""A log of time and counts alone, cut by a schedule: where the schedule lies on the log, and what each row is then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.counts.sampled_air import AMBIENT, MASK, PURGE
from builder.fit.counts.trace import Level

FINE_BINS = 20_000
"""Bins of a trace that a schedule is laid on."""

# A shift costs what lies on the wrong side of the switches, in rows: a row of room air in a mask phase costs 1, a row
# that the log does not have part of it. Shifts that differ by less than `ALIKE_COST` rows are alike. Exercises leak
# more or less, room air hardly varies: so levels below `IN_MASK_SHARE` of the step are the mask's, above `IN_AIR_SHARE`
# room air. No published source.
MISSING_COST, ALIKE_COST, IN_MASK_SHARE, IN_AIR_SHARE = 0.3, 0.1, 0.4, 0.9

POOR_FIT = 0.15
"""A schedule of which more than this share lies wrong hardly is that of the log."""


@dataclass(frozen=True)
class PlannedPhase:
    """Some seconds of a kind, the exercise numbered as in the log."""

    kind: int
    exercise: int
    seconds: float


@dataclass(frozen=True)
class RunSchedule:
    """The phases of a run in order."""

    phases: tuple[PlannedPhase, ...]

    @cached_property
    def edges(self) -> FloatArray:
        """The seconds at which the phases begin, and the last one ends."""
        return np.concatenate(([0.0], np.cumsum([phase.seconds for phase in self.phases])))


@dataclass(frozen=True)
class ScheduleCut:
    """A schedule that begins `shift` seconds after the log, and the share of it that lies wrong there."""

    schedule: RunSchedule
    shift: float
    wrong: float

    def of(self, begin: FloatArray, end: FloatArray) -> tuple[IntArray, IntArray]:
        """Give kind and exercise of rows by their intervals. One across a switch, or outside, is purge."""
        edges, phases = self.schedule.edges + self.shift, self.schedule.phases
        kinds = np.array([PURGE, *(phase.kind for phase in phases), PURGE])
        exercises = np.array([0, *(phase.exercise for phase in phases), 0])
        margin = 1e-6 + (end - begin) * 1e-3
        first = np.searchsorted(edges, begin + margin)
        last = np.searchsorted(edges, end - margin)
        middle = np.searchsorted(edges, (begin + end) / 2)
        whole = kinds[first] == kinds[last]
        return np.where(whole, kinds[middle], PURGE), np.where(whole, exercises[middle], 0)


def lay(schedule: RunSchedule, levels: Sequence[Level], width: float) -> ScheduleCut:
    """Lay a schedule on a log where its switches between room air and mask fall on steps of the level.

    `levels` are those of bins as wide as `width`. Of shifts that are as good the latest is taken: where the hose is
    flushed after the switch to the mask, that one ends the room air at the step.
    """
    bins = np.array([round(level.seconds / width - 0.5) for level in levels])
    length = int(bins.max(initial=0)) + 1
    there, root = np.zeros(length), np.zeros(length)
    root[bins] = np.sqrt([level.level for level in levels])
    there[bins] = 1.0
    outside = _outside_share(root, there > 0)
    sums = [np.concatenate(([0.0], np.cumsum(of))) for of in (there * outside, there * (1 - outside), there)]

    edges, phases = schedule.edges / width, schedule.phases
    first, last = _whole_part(schedule)
    shifts = np.arange(-int(edges[first]), max(length - int(np.ceil(edges[last])), 0) + 1)
    cost, planned = np.zeros(shifts.size), 0.0
    for number, phase in enumerate(phases):
        if phase.kind == PURGE:
            continue
        ends = edges[number] + shifts, edges[number + 1] + shifts
        in_mask, in_air, covered = (
            np.interp(ends[1], np.arange(length + 1), of) - np.interp(ends[0], np.arange(length + 1), of) for of in sums
        )
        rows = edges[number + 1] - edges[number]
        missing = MISSING_COST if phase.kind == AMBIENT else 1.0
        cost += (in_mask if phase.kind == MASK else in_air) + missing * (rows - covered)
        planned += rows
    best = int(np.flatnonzero(cost <= cost.min() + ALIKE_COST).max())
    return ScheduleCut(schedule, float(shifts[best] * width), float(cost[best] / planned))


def _outside_share(root: FloatArray, there: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> FloatArray:
    """Tell how far each level is one of room air, from 0 to 1: two groups of levels, on the scale of their square root.

    On that scale counts scatter alike wherever they are.
    """
    values = root[there]
    low, high = float(values.min(initial=np.inf)), float(values.max(initial=0.0))
    for _ in range(30):
        upper = values > (low + high) / 2
        if not upper.any() or upper.all():
            return np.zeros(root.size)
        low, high = float(values[~upper].mean()), float(values[upper].mean())
    share = (root - low) / (high - low)
    return np.where(share > IN_AIR_SHARE, 1.0, np.where(share < IN_MASK_SHARE, 0.0, share))


def _whole_part(schedule: RunSchedule) -> tuple[int, int]:
    """Give the edges between which the log must have everything: of the ambient air at the ends some may be missing."""
    kinds = [phase.kind for phase in schedule.phases]
    first = 1 if kinds[0] == AMBIENT else 0
    last = len(kinds) - 1 if kinds[-1] == AMBIENT else len(kinds)
    return first, last
