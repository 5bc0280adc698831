"""Numbers as people read them: figures of three significant digits, ratios and their intervals."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import SupportsFloat, SupportsInt

from builder.fit.levels import FEW_FACES
from builder.records.spoken import SPOKEN
from builder.words.catalogue import language, page_language, say


def figure(value: SupportsFloat) -> str:
    """Print a number with three significant digits and no exponent; "–" for none."""
    return _figure(float(value), SPOKEN.get())


# The same readings and counts stand on many pages.
@lru_cache(maxsize=100_000)
def _figure(number: float, code: str) -> str:
    style = page_language(code).number
    if math.isnan(number):
        return style.none
    if number == 0:
        return "0"
    digits = style.digits - 1 - math.floor(math.log10(abs(number)))
    text = f"{round(number, digits):,.{max(0, digits)}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.translate({ord(","): style.thousands, ord("."): style.point})


def fit(value: SupportsFloat, at_least: object = False) -> str:
    """Print a fit factor, marked where it is a lower limit."""
    text = figure(value)
    return say("figure.at_least", figure=text) if at_least and text != none() else text


def none() -> str:
    """Give what stands where there is no figure: "–"."""
    return language().number.none


def level(share: float) -> str:
    """Print the level of an interval: "95 %"."""
    return language().number.level(share)


def plain(number: float) -> str:
    """Print a number that is short as it stands: "118.5"."""
    return language().number.plain(number)


def percent(percents: SupportsFloat) -> str:
    """Print percents, with three significant digits: "2.5 %"."""
    return language().number.percent.format(percent=figure(percents))


def whole_percent(share: float) -> str:
    """Print a share in whole percents: "63 %"."""
    return language().number.percent.format(percent=round(100 * share))


def whole_percents(low: float, high: float) -> str:
    """Print what lies between two shares in whole percents: "40–63 %"."""
    return say("figure.percents", low=round(100 * low), high=round(100 * high))


def score(value: float) -> str:
    """Print a score with three decimals: "−0.231"."""
    return f"{value:.3f}".translate({ord("-"): "−", ord("."): language().number.point})


def span(low: float, high: float) -> str:
    """Print what lies between two short numbers: "98.5–108.5"."""
    return say("summary.range", low=plain(low), high=plain(high))


def small_n(wearers: SupportsInt) -> str:
    """Say in words how little few wearers tell; "" from `FEW_FACES` on."""
    n = int(wearers)
    if n == 0:
        return say("small_n.none")
    if n == 1:
        return say("small_n.one")
    return say("small_n.few", wearers=n) if n < FEW_FACES else ""


def times(ratio: float | None) -> str:
    """Print a ratio: "×2.1"; "–" for none."""
    return none() if ratio is None else say("figure.times", figure=figure(ratio))


def between(low: float | None, high: float | None) -> str:
    """Print an interval of ratios, open where nothing bounds it."""
    if low is None and high is None:
        return say("figure.unbounded")
    if high is None:
        return say("figure.or_more", low=times(low))
    if low is None:
        return say("figure.or_less", high=times(high))
    return say("figure.between", low=times(low), high=times(high))
