"""The chart of what a part did: the still picture in its page, and the figure that a reader can look into."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.fit.compare.hack_contrasts import HackContrast
from builder.fit.compare.hack_effects import HackEffect
from builder.pictures.chart_frame import LEFT, RIGHT
from builder.pictures.contrast_swarm import SwarmRow, contrast_swarm
from builder.pictures.forest import DOT, ForestChart, Ratio, RatioKind, forest_chart, forest_picture
from builder.pictures.palette import Ink
from builder.pictures.svg import fluid
from builder.site.charts import LIMIT_SYMBOLS, domain, figure_json, heights, layout_over, plain, scatter, whiskers
from builder.site.ratio_axis import KINDS, ratio_axis
from builder.words.catalogue import count, say
from builder.words.chart_words import effects_description
from builder.words.effects import ratio_text
from builder.words.labels import mask_label
from builder.words.numbers import between, times

_SIZES: dict[RatioKind, float] = {"at_least": 12, "at_most": 12, "mean": 13, "expected": 0}
MOST_MASKS = 8
"""Masks that have a row of their own where there are many contrasts."""


def effects_picture(data: Dataset, effect: HackEffect, shown: Sequence[HackContrast], part: str) -> Markup:
    """Draw the contrasts shown with their 95 % intervals, the mean of all and the new face; `part` is its label.

    Nothing where no contrast tells a ratio.
    """
    ratios = _ratios(data, effect, shown)
    if not ratios:
        return Markup("")
    contrasts = sum(not ratio.together for ratio in ratios)
    drawing = forest_picture(
        _chart(effect, ratios), say("chart.effects", part=part), effects_description(effect, contrasts)
    )
    return Markup(fluid(drawing, "effect"))


def condensed_picture(data: Dataset, effect: HackEffect, part: str) -> Markup:
    """Draw all contrasts of a part that has many, a dot each, by mask; masks of few contrasts share a row."""
    ratios = _ratios(data, effect, effect.contrasts)
    alone = [ratio for ratio in ratios if not ratio.together]
    by_mask: dict[str, list[Ratio]] = {}
    for ratio in alone:
        by_mask.setdefault(ratio.group, []).append(replace(ratio, figures=_told(ratio)))
    masks = sorted(by_mask, key=lambda mask: (-len(by_mask[mask]), mask.casefold()))
    rows = [_row(mask, by_mask[mask]) for mask in masks[:MOST_MASKS]]
    if others := [ratio for mask in masks[MOST_MASKS:] for ratio in by_mask[mask]]:
        rows.append(_row(count("more_mask", len(masks) - MOST_MASKS), others))
    ends = [effect.predict_new_mask_low95 or 1.0, effect.predict_new_mask_high95 or 1.0]
    highest, ticks = ratio_axis([ratio.value for ratio in alone] + ends)
    words = say("chart.effects", part=part), effects_description(effect, len(alone))
    together = [ratio for ratio in ratios if ratio.together]
    return Markup(fluid(contrast_swarm(rows, together, (highest, ticks, say("chart.ratio")), words), "effect"))


def extremes_sentence(data: Dataset, effect: HackEffect) -> str:
    """Name the highest and the lowest exact ratio; "" where there are none."""
    exact = [contrast for contrast in effect.contrasts if contrast.bound == "none" and contrast.ratio is not None]
    if not exact:
        return ""
    high, low = (pick(exact, key=lambda contrast: contrast.ratio or 0.0) for pick in (max, min))
    named = {
        f"{name}_{what}": value
        for name, one in (("high", high), ("low", low))
        for what, value in (
            ("ratio", times(one.ratio)),
            ("wearer", one.wearer),
            ("mask", mask_label(data.entries.masks[one.mask].mask)),
        )
    }
    return say("hack_page.extremes", **named)


def _row(label: str, ratios: list[Ratio]) -> SwarmRow:
    middle = statistics.median(ratio.value for ratio in ratios)
    figures = say("chart.swarm_row", comparisons=count("comparison", len(ratios)), middle=times(middle))
    return SwarmRow(label, figures, tuple(ratios), middle)


def _told(ratio: Ratio) -> str:
    return say("chart.labelled", label=_name(ratio), figures=ratio.figures)


def effects_figure(data: Dataset, effect: HackEffect, shown: Sequence[HackContrast]) -> str:
    """Make the same picture a figure: a trace of the contrasts, and one of what they come to."""
    chart = _chart(effect, _ratios(data, effect, shown))
    reach = math.log10(chart.scale.high)
    placed = list(zip(chart.ratios, chart.heights, strict=True))
    groups = [[one for one in placed if one[0].together is together] for together in (False, True)]
    traces = [_trace(group, ink) for group, ink in zip(groups, (Ink.CHANGED, Ink.INK), strict=True) if group]
    xaxis = {"type": "log", "range": [-reach, reach], "domain": domain(LEFT, RIGHT)}
    layout = layout_over((*chart.axis, *chart.words), chart.height, xaxis=xaxis, yaxis=heights(chart.height))
    return figure_json(traces, layout)


def _ratios(data: Dataset, effect: HackEffect, shown: Sequence[HackContrast]) -> list[Ratio]:
    ratios = [
        Ratio(
            contrast.wearer,
            ratio_text(contrast),
            contrast.ratio,
            contrast.low95,
            contrast.high95,
            KINDS[contrast.bound],
            mask_label(data.entries.masks[contrast.mask].mask),
        )
        for contrast in shown
        if contrast.ratio is not None
    ]
    if effect.mean_ratio is not None:
        mean = say("effect.ratio", ratio=times(effect.mean_ratio), interval=between(effect.low95, effect.high95))
        ratios.append(Ratio(say("chart.mean"), mean, effect.mean_ratio, effect.low95, effect.high95, "mean"))
        ratios += [
            Ratio(label, between(low, high), effect.mean_ratio, low, high, "expected")
            for label, low, high in (
                (say("chart.expected"), effect.predict_low95, effect.predict_high95),
                (say("chart.expected_new_mask"), effect.predict_new_mask_low95, effect.predict_new_mask_high95),
            )
        ]
    return ratios


def _chart(effect: HackEffect, ratios: Sequence[Ratio]) -> ForestChart:
    """Place ratios on an axis wide enough for every value and for a new face; whiskers may leave it."""
    ends = [effect.predict_new_mask_low95 or 1.0, effect.predict_new_mask_high95 or 1.0]
    highest, ticks = ratio_axis([contrast.ratio for contrast in effect.contrasts if contrast.ratio] + ends)
    return forest_chart(ratios, highest, ticks, say("chart.ratio"))


def _trace(placed: Sequence[tuple[Ratio, float]], ink: Ink) -> dict[str, Any]:
    ratios = [ratio for ratio, _ in placed]
    values = [ratio.value for ratio in ratios]
    together = ratios[0].together
    return scatter(
        x=values,
        y=[height for _, height in placed],
        mode="markers",
        marker={
            "color": ink.variable,
            "size": [_SIZES.get(ratio.kind, 2 * DOT) for ratio in ratios],
            "opacity": 1,
            "line": {"color": Ink.PAPER.variable, "width": 1},
            "symbol": ["diamond" if together else LIMIT_SYMBOLS.get(ratio.kind, "circle") for ratio in ratios],
        },
        error_x=whiskers(values, [ratio.low for ratio in ratios], [ratio.high for ratio in ratios], ink.variable),
        customdata=[f"<b>{plain(_name(ratio))}</b><br>{plain(ratio.figures)}" for ratio in ratios],
    )


def _name(ratio: Ratio) -> str:
    return say("chart.mask_and_wearer", mask=ratio.group, wearer=ratio.label) if ratio.group else ratio.label
