"""Numbers as people read them: three significant digits, counted things, ratios and their intervals."""

from __future__ import annotations

import math

from builder.fit.levels import FEW_FACES

AT_LEAST = "≥\u202f"
AT_MOST = "≤\u202f"


def figure(value: object) -> str:
    """Print a number with three significant digits and no exponent; "–" for none."""
    number = float(value)  # type: ignore[arg-type]
    if math.isnan(number):
        return "–"
    if number == 0:
        return "0"
    digits = max(0, 2 - math.floor(math.log10(abs(number))))
    rounded = round(number, 2 - math.floor(math.log10(abs(number))))
    text = f"{rounded:,.{digits}f}".replace(",", "\u202f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def fit(value: object, at_least: object = False) -> str:
    """Print a fit factor, marked where it is a lower limit."""
    text = figure(value)
    return f"{AT_LEAST}{text}" if at_least and text != "–" else text


def level(share: float) -> str:
    """Print the level of an interval: "95 %"."""
    return f"{100 * share:g} %"


def plural(n: object, word: str, many: str = "") -> str:
    """Count things: "1 wearer", "14 wearers"."""
    count = int(n)  # type: ignore[call-overload]
    return f"{count:,} {word if count == 1 else many or word + 's'}".replace(",", "\u202f")


def small_n(wearers: object) -> str:
    """Say in words how little few wearers tell; "" from `FEW_FACES` on."""
    n = int(wearers)  # type: ignore[call-overload]
    if n == 0:
        return "No test that counts."
    if n == 1:
        return "One face only: another may get another result."
    return f"Only {n} faces: a start, no more." if n < FEW_FACES else ""


def times(ratio: float | None) -> str:
    """Print a ratio: "×2.1"; "–" for none."""
    return "–" if ratio is None else f"×{figure(ratio)}"


def between(low: float | None, high: float | None) -> str:
    """Print an interval of ratios, open where nothing bounds it."""
    if low is None and high is None:
        return "unbounded"
    if high is None:
        return f"{times(low)} or more"
    if low is None:
        return f"{times(high)} or less"
    return f"{times(low)} to {times(high)}"
