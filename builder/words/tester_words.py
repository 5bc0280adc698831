"""What is said of a tester: whether the bench stayed where it was, and how its readings stand beside others'."""

from __future__ import annotations

import math

from builder.fit.compare.reference_drift import ReferenceDrift
from builder.fit.compare.tester_levels import BesideOthers
from builder.fit.intervals import Interval
from builder.words.catalogue import count, say
from builder.words.numbers import between, figure, times


def drift_words(drift: ReferenceDrift) -> str:
    """Say that days differ by more than donnings do, or by how much the newest would have had to."""
    if drift.moved:
        day = drift.oddest
        return say(
            "tester.moved",
            p=figure(drift.p),
            date=day.date,
            ratio=times(day.ratio),
            interval=_between(day.interval),
        )
    newest = drift.days[-1]
    reach = math.sqrt(newest.interval.high / newest.interval.low)
    return say("tester.steady", date=newest.date, high=times(reach), low=times(1 / reach))


def level_words(found: BesideOthers | None) -> str:
    """Say how a tester's readings stand beside those of others, and whether that tells anything."""
    if found is None:
        return say("tester.alone")
    beside = say(
        "tester.beside",
        set_ups=count("set_up", found.set_ups),
        ratio=times(found.ratio),
        interval=_between(found.interval),
        wearers=count("wearer", found.wearers),
    )
    within = found.interval.low <= 1 <= found.interval.high
    return f"{beside} {say('tester.within') if within else say('tester.apart')}"


def _between(interval: Interval) -> str:
    return between(interval.low, interval.high)
