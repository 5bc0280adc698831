"""The figures of a configuration as a table prints them."""

from __future__ import annotations

import math
from collections.abc import Mapping

from builder.words.numbers import AT_MOST, figure, fit


def range_label(figures: Mapping[str, object]) -> str:
    """Print lowest to highest: "12–450"; one figure where they are the same, "–" for none."""
    low, high = figure(figures["lowest_fit_factor"]), figure(figures["highest_fit_factor"])
    top = fit(figures["highest_fit_factor"], figures["highest_at_least"])
    return top if low == high else f"{low}–{top}"


def leakage_label(figures: Mapping[str, object]) -> str:
    """Print total inward leakage in percent, "≤" where the median is a lower limit."""
    text = figure(figures["til_percent"])
    return text if text == "–" else f"{AT_MOST if figures['median_at_least'] else ''}{text} %"


def reach_label(figures: Mapping[str, object]) -> str:
    """Print how many wearers reach 100: "3 of 4"; "–" for none."""
    share, wearers = float(figures["share_at_100"]), figures["share_wearers"]  # type: ignore[arg-type]
    return f"{round(share * wearers)} of {wearers}" if wearers else "–"  # type: ignore[operator]


def interval_label(figures: Mapping[str, object]) -> str:
    """Print the interval of that share in whole percents: "30–95 %"; "" for none."""
    if not figures["share_wearers"]:
        return ""
    limits = (float(figures[key]) for key in ("share_at_100_low", "share_at_100_high"))  # type: ignore[arg-type]
    # Halves go up, in the browser too.
    low, high = (math.floor(100 * limit + 0.5) for limit in limits)
    return f"{low}–{high} %"


def aside_label(figures: Mapping[str, object]) -> str:
    """Print how many tests were set aside; "" for none."""
    return f"{figures['set_aside']} set aside" if figures["set_aside"] else ""
