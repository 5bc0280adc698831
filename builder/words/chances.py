"""Chances in figures and words: rounded to 5 %, since a prediction carries no more."""

from __future__ import annotations

import math
from fractions import Fraction


def percent(chance: float) -> int:
    """Round to a multiple of 5 %, halves up."""
    return 5 * math.floor(20 * chance + 0.5)


def chance_text(chance: float) -> str:
    """Print a chance: "about 80 %", never as certain."""
    rounded = percent(chance)
    if rounded == 0:
        return "under 5 %"
    return "over 95 %" if rounded == 100 else f"about {rounded} %"


def in_words(chance: float) -> str:
    """Say a chance as a count: "4 in 5"."""
    share = Fraction(min(95, max(5, percent(chance))), 100)
    return f"{share.numerator} in {share.denominator}"


def interval_text(low: float, high: float) -> str:
    """Print an interval of chances: "60–90 %"; one figure where both ends round to the same."""
    ends = [percent(low), percent(high)]
    return chance_text(low) if ends[0] == ends[1] else f"{ends[0]}–{ends[1]} %"


def ranked_chance(chance: float, little_known: bool) -> str:
    """Print the chance of one configuration; nothing is worth saying where its interval is very wide."""
    return "little is known" if little_known else chance_text(chance)
