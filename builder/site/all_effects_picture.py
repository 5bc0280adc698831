"""What every part did in one picture, by slot: the mean with its interval, and what a new face may see."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from builder.findings.dataset import Row
from builder.fit.compare.hack_effects import HackEffect
from builder.pictures.forest import Ratio, forest_chart, forest_picture
from builder.pictures.svg import fluid
from builder.records.vocabulary import Slot
from builder.site.ratio_axis import ratio_axis
from builder.words import vocabulary_words
from builder.words.catalogue import count, say
from builder.words.numbers import between, times

MOST_PARTS = 40
"""Parts that a picture shows and can still be read; where there are more, those of most wearers."""


def all_effects_picture(groups: Sequence[tuple[Slot, Sequence[Row]]]) -> Markup:
    """Draw the parts whose mean is known, the highest first in each slot; nothing where none is."""
    known = [(slot, row, row["effect"]) for slot, rows in groups for row in rows if _is_known(row["effect"])]
    widest = sorted(known, key=lambda one: (-one[1]["wearers"], one[1]["token"]))[:MOST_PARTS]
    shown = sorted(widest, key=lambda one: (list(Slot).index(one[0]), -one[2].mean_ratio, one[1]["token"]))
    if not shown:
        return Markup("")
    ratios = [_ratio(slot, row, effect) for slot, row, effect in shown]
    highest, ticks = ratio_axis(end for ratio in ratios for end in (ratio.value, *(ratio.expected or ())))
    said = "; ".join(
        say(
            "chart.part",
            label=ratio.label,
            figures=ratio.figures,
            interval=between(effect.low95, effect.high95),
            expected=between(effect.predict_low95, effect.predict_high95),
        )
        for ratio, (_, _, effect) in zip(ratios, shown, strict=True)
    )
    drawing = forest_picture(
        forest_chart(ratios, highest, ticks, say("chart.ratio"), even=True),
        say("chart.all_effects"),
        say("chart.all_effects_about", rows=said),
    )
    return Markup(fluid(drawing, "all"))


def _is_known(effect: HackEffect | None) -> bool:
    return effect is not None and bool(effect.pooled) and effect.mean_ratio is not None


def _ratio(slot: Slot, row: Row, effect: HackEffect) -> Ratio:
    assert effect.mean_ratio is not None
    low, high = effect.predict_low95, effect.predict_high95
    return Ratio(
        row["label"],
        say("chart.part_row", ratio=times(effect.mean_ratio), wearers=count("wearer", row["wearers"])),
        effect.mean_ratio,
        effect.low95,
        effect.high95,
        group=vocabulary_words.label(slot),
        expected=None if low is None or high is None else (low, high),
    )
