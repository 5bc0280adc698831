"""What the readings of a log show that its sums do not: tails, a counter at its limit, room air that is missing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from builder.fit.arrays import FloatArray
from builder.fit.counts.counting import RunFitFactor
from builder.fit.counts.doubt_texts import Doubt, doubt
from builder.fit.counts.doubts import CONSTANT_FROM, MOST_SAMPLED_CM3, expected_words, most_shown
from builder.fit.counts.run_log import RunLog, Stretch
from builder.fit.counts.sampled_air import AMBIENT, MASK, PURGE

# Common practice, no published source. A tail is a first reading at twice the rest or more, or in room air at four
# fifths or less, that counting alone does not explain and that moves the mean of the phase.
FALLS, RISES, SHIFTS_MASK, SHIFTS_AIR = 2.0, 0.8, 0.05, 0.02
STANDARD_DEVIATIONS = 4.0
FEWEST_READINGS = 6
AT_TOP_SHARE, FEWEST_AT_TOP = 0.25, 8


def tail_doubts(log: RunLog, names: Sequence[str]) -> Iterator[Doubt]:
    """Name the phases at whose start the last one still tells; `names` are those of the stretches."""
    falling: list[tuple[str, float]] = []
    rising: list[tuple[str, float]] = []
    sampled = [(stretch, name) for stretch, name in zip(log.stretches, names, strict=True) if stretch.kind != PURGE]
    for (before, _), (stretch, name) in pairwise(sampled):
        if stretch.kind != before.kind:
            seconds = _tail(log, stretch)
            if seconds:
                (falling if stretch.kind == MASK else rising).append((name, seconds))
    for told, found in (("tail_in_mask", falling), ("tail_in_air", rising)):
        if found:
            longest = max(seconds for _, seconds in found)
            yield doubt(told, longest=f"{longest:g}", phases="; ".join(name for name, _ in found))


def missing_air_doubts(log: RunLog) -> Iterator[Doubt]:
    """Say where room air was sampled on one side of the mask alone."""
    kinds = [stretch.kind for stretch in log.stretches if stretch.kind != PURGE and stretch.seconds > 0]
    if MASK not in kinds or AMBIENT not in kinds:
        return
    if kinds[0] == MASK:
        yield doubt("no_air_before")
    if kinds[-1] == MASK:
        yield doubt("no_air_after")


def limit_doubts(log: RunLog) -> Iterator[Doubt]:
    """Say that the counter gave the same ambient reading all the time, or its highest one too often."""
    top = log.top
    if top.rows < FEWEST_AT_TOP or top.most < CONSTANT_FROM:
        return
    if top.times == top.rows:
        yield doubt("constant", times=top.rows, noun="readings")
    elif top.times >= max(AT_TOP_SHARE * top.rows, FEWEST_AT_TOP):
        yield doubt("at_its_limit", times=top.times, rows=top.rows, most=f"{top.most:g}")


def low_air_doubts(log: RunLog, fit: RunFitFactor, sampled_cm3: float = MOST_SAMPLED_CM3) -> Iterator[Doubt]:
    """Say that a concentration of room air is too low for the fit factors it gave."""
    air = [stretch for stretch in log.stretches if stretch.kind == AMBIENT and stretch.seconds > 0]
    if log.counted or log.by_weight or not air:
        return
    level = sum(stretch.amount for stretch in air) / sum(stretch.seconds for stretch in air)
    highest = max(one.result.fit_factor for one in fit.exercises)
    if highest > most_shown(level, sampled_cm3):
        words = expected_words(float(f"{level:.3g}"), sampled_cm3)
        yield doubt("too_little_air", **words, highest=f"{highest:.0f}")


def _tail(log: RunLog, stretch: Stretch) -> float:
    """Give the seconds at the start of a stretch that belong to the phase before, 0 for none."""
    levels = np.array(
        [
            level.level
            for level in log.levels
            if level.kind == stretch.kind and stretch.begin < level.seconds < stretch.end
        ]
    )
    if levels.size < FEWEST_READINGS:
        return 0.0
    rest = float(np.median(levels[levels.size // 3 :]))
    away = levels - rest if stretch.kind == MASK else rest - levels
    far = away > rest * (FALLS - 1 if stretch.kind == MASK else 1 - RISES) / 2
    length = int(np.argmin(far)) if not far.all() else 0
    share = SHIFTS_MASK if stretch.kind == MASK else SHIFTS_AIR
    first = levels[0] >= FALLS * rest if stretch.kind == MASK else levels[0] <= RISES * rest
    if not length or not first or not _beyond_chance(log, levels, rest):
        return 0.0
    moved = float(away[:length].sum()) > share * max(float(levels[length:].sum()), float(away[:length].sum()) * 1e-3)
    return length * log.bin_s if moved and away[0] >= away.max() else 0.0


def _beyond_chance(log: RunLog, levels: FloatArray, rest: float) -> bool:
    """Whether the first reading is further from the rest than counting, or the scatter of the rest, explains."""
    spread = float(np.std(levels[levels.size // 3 :]))
    if log.counted:
        spread = max(spread, float(np.sqrt(max(rest * log.bin_s, 1.0))) / log.bin_s)
    return abs(float(levels[0]) - rest) > STANDARD_DEVIATIONS * spread
