"""What charts say in words, to those who do not see them and beside them."""

from __future__ import annotations

from collections.abc import Sequence

from builder.findings.dataset import Row
from builder.fit.compare.hack_effects import HackEffect
from builder.words.catalogue import count, say
from builder.words.numbers import between, fit, times


def row_figures(row: Row) -> str:
    """Say the figures of a row of the summary in a few words."""
    median = fit(row["median_fit_factor"], row["median_at_least"])
    donnings, wearers = count("donning", row["tests"]), count("wearer", row["wearers"])
    return say("chart.row", median=median, donnings=donnings, wearers=wearers)


def donnings_description(rows: Sequence[tuple[str, Row]]) -> str:
    """Say what the chart of donnings shows, with the figures of each configuration, given with its label."""
    said = "; ".join(say("chart.labelled", label=label, figures=row_figures(row)) for label, row in rows)
    return say("chart.donnings_about", rows=said[:1].upper() + said[1:])


def wearer_donnings(wearer: str, face: str, rows: Sequence[tuple[str, Sequence[str]]]) -> str:
    """Say whose donnings they are and what each gave, by configuration, given with its label."""
    said = "; ".join(say("chart.labelled", label=label, figures=", ".join(figures)) for label, figures in rows)
    return say("chart.wearer", wearer=wearer, face=face, rows=said)


def left_out(crowded: bool, has_threads: bool) -> str:
    """Say what a still chart of donnings leaves out; "" for nothing."""
    said = [say("chart.crowded")] if crowded else []
    return " ".join(said if has_threads else [*said, say("chart.no_threads")])


def effects_description(effect: HackEffect, shown: int) -> str:
    """Say what the chart of a part shows, with the mean where there is one."""
    ratios = count("ratio", shown)
    if effect.mean_ratio is None:
        return say("chart.effects_about", ratios=ratios)
    return say(
        "chart.effects_mean",
        ratios=ratios,
        mean=times(effect.mean_ratio),
        interval=between(effect.low95, effect.high95),
        expected=between(effect.predict_low95, effect.predict_high95),
        new_mask=between(effect.predict_new_mask_low95, effect.predict_new_mask_high95),
    )
