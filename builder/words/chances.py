"""Chances in figures and words: rounded to 5 %, since a prediction carries no more."""

from __future__ import annotations

import math
from fractions import Fraction

from builder.words.catalogue import say

STEP = 5
"""Percent; no chance is said to be nearer to certain than that."""


def percent(chance: float) -> int:
    """Round to a multiple of 5 %, halves up."""
    return STEP * math.floor(100 / STEP * chance + 0.5)


def chance_text(chance: float) -> str:
    """Print a chance: "about 80 %", never as certain."""
    rounded = percent(chance)
    if rounded == 0:
        return say("chance.under", percent=STEP)
    if rounded == 100:
        return say("chance.over", percent=100 - STEP)
    return say("chance.about", percent=rounded)


def uncertain_percent(chance: float) -> int:
    """Round a chance as `percent` does, but never to none or all."""
    return min(100 - STEP, max(STEP, percent(chance)))


def in_words(chance: float) -> str:
    """Say a chance as a count: "4 in 5"."""
    share = Fraction(uncertain_percent(chance), 100)
    return say("chance.odds", part=share.numerator, whole=share.denominator)


def interval_text(low: float, high: float) -> str:
    """Print an interval of chances: "60–90 %"; one figure where both ends round to the same."""
    ends = percent(low), percent(high)
    return chance_text(low) if ends[0] == ends[1] else say("figure.percents", low=ends[0], high=ends[1])


def ranked_chance(chance: float, little_known: bool) -> str:
    """Print the chance of one configuration; nothing is worth saying where its interval is very wide."""
    return say("chance.little_known") if little_known else chance_text(chance)


def of_ten(chance: float) -> str:
    """Say a chance of ten people: "7 of 10 people like you", never none or all of them."""
    form, values = _tenths(chance)
    return say(f"chance.tenth{form}", **values)


def in_people(chance: float) -> str:
    """Say a chance within a sentence that names the people: "about 7 of 10", never none or all of them."""
    form, values = _tenths(chance)
    return say(f"effect.people{form}", **values)


def _tenths(chance: float) -> tuple[str, dict[str, int]]:
    """Give how a chance is said in tenths, and with which."""
    rounded = percent(chance)
    if rounded <= STEP:
        return "_under", {}
    if rounded >= 100 - STEP:
        return "_over", {}
    low, rest = divmod(rounded, 10)
    return ("s_between", {"low": low, "high": low + 1}) if rest else ("s", {"tenths": low})
