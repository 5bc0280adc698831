"""The figures of a configuration as a table prints them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from builder.words.catalogue import say
from builder.words.numbers import figure, fit, none


def range_label(figures: Mapping[str, Any]) -> str:
    """Print lowest to highest: "12–450"; one figure where they are the same, "–" for none."""
    low, high = figure(figures["lowest_fit_factor"]), figure(figures["highest_fit_factor"])
    top = fit(figures["highest_fit_factor"], figures["highest_at_least"])
    return top if low == high else say("summary.range", low=low, high=top)


def leakage_label(figures: Mapping[str, Any]) -> str:
    """Print total inward leakage in percent, "≤" where the median is a lower limit."""
    text = figure(figures["til_percent"])
    if text == none():
        return text
    leakage = say("summary.leakage", figure=text)
    return say("figure.at_most", figure=leakage) if figures["median_at_least"] else leakage


def reach_label(figures: Mapping[str, Any]) -> str:
    """Print how many wearers reach 100: "3 of 4"; "–" for none."""
    wearers = figures["share_wearers"]
    if not wearers:
        return none()
    return say("summary.reached", reached=round(figures["share_at_100"] * wearers), wearers=wearers)


def interval_label(figures: Mapping[str, Any]) -> str:
    """Print the interval of that share in whole percents: "30–95 %"; "" for none."""
    if not figures["share_wearers"]:
        return ""
    # Halves go up, in the browser too.
    low, high = (math.floor(100 * figures[key] + 0.5) for key in ("share_at_100_low", "share_at_100_high"))
    return say("figure.percents", low=low, high=high)


def aside_label(figures: Mapping[str, Any]) -> str:
    """Print how many tests were set aside; "" for none."""
    return say("summary.set_aside", tests=figures["set_aside"]) if figures["set_aside"] else ""
