"""What charts say in words, to those who do not see them and beside them."""

from __future__ import annotations

from collections.abc import Sequence

from builder.findings.dataset import Row
from builder.fit.compare.hack_effects import HackEffect
from builder.fit.levels import PASS_LEVEL, SHOWN_LEVEL
from builder.words.numbers import between, figure, fit, level, plural, times


def row_figures(row: Row) -> str:
    """Say the figures of a row of the summary in a few words."""
    median = fit(row["median_fit_factor"], row["median_at_least"])
    return f"median {median}, {plural(row['tests'], 'donning')}, {plural(row['wearers'], 'wearer')}"


def donnings_title(mask: str) -> str:
    """Name the chart of a mask's donnings."""
    return f"Fit factor of every donning of {mask}, by configuration"


def donnings_description(rows: Sequence[tuple[str, Row]]) -> str:
    """Say what the chart shows, with the figures of each configuration, given with its label."""
    said = "; ".join(f"{label}: {row_figures(row)}" for label, row in rows)
    return (
        f"On a logarithmic scale with a line at {figure(PASS_LEVEL)}. {said[:1].upper()}{said[1:]}. "
        "The table below holds the figures."
    )


def left_out(crowded: bool, has_threads: bool) -> str:
    """Say what a still chart of donnings leaves out; "" for nothing."""
    threads = "" if has_threads else " Wearers are too many to join their dots."
    if crowded:
        return (
            f"Rows of many donnings show where these lie: the higher, the more; the line is the middle half.{threads}"
        )
    return threads.strip()


def effects_title(part: str) -> str:
    """Name the chart of what a part does."""
    return f"Effect of {part} by mask and wearer"


def effects_description(effect: HackEffect, shown: int) -> str:
    """Say what the chart shows, with the mean where there is one."""
    ratios = plural(shown, "ratio")
    mean = ""
    if effect.mean_ratio is not None:
        mean = (
            f" Mean {times(effect.mean_ratio)}, {level(SHOWN_LEVEL)} interval {between(effect.low95, effect.high95)};"
        )
        mean += f" on a new face {between(effect.predict_low95, effect.predict_high95)}."
    return (
        f"{ratios} of the fit factor with it to that without it, on a logarithmic scale.{mean} "
        "The table below holds the figures."
    )


RELIABILITY_TITLE = "Chances predicted against the share that passed"


def reliability_description(tests: int) -> str:
    """Say what the chart shows."""
    return (
        f"{plural(tests, 'test')} by the chance predicted, in tenths of the scale. On the dotted line as many passed "
        "as were predicted. The table below holds the figures."
    )
