"""Figures as words and as rows of a picture, with names that a picture can hold."""

from __future__ import annotations

import math
from collections.abc import Sequence

from builder.findings.dataset import UNNAMED, Dataset, Row
from builder.fit.levels import PASS_LEVEL
from builder.pictures.bars import Axis, Bar
from builder.pictures.cards import PREVIEW_HEIGHT, card
from builder.pictures.lettering import written
from builder.pictures.scale import powers_of_ten
from builder.pictures.shapes import Drawing
from builder.site.row_strips import fit_top
from builder.words.catalogue import count, say
from builder.words.labels import mask_label, part_label
from builder.words.numbers import figure


def plain_mask(data: Dataset, mask: str) -> str:
    """Name a mask in the letters of a PNG; by its id where they cannot write its name."""
    return written(mask_label(data.entries.masks[mask].mask), mask)


def plain_change(data: Dataset, parts: str) -> str:
    """Name a configuration beside its mask in the letters of a PNG."""
    if not parts:
        return say("term.as_sold")
    return " + ".join(written(part_label(data, token), token) for token in parts.split("+"))


def plain_figure(value: float) -> str:
    """Print a number in the letters of a PNG."""
    return written(figure(value), "")


def fit_words(value: float, at_least: bool) -> str:
    """Print a fit factor: "39.5", "at least 200"."""
    return say("card.at_least", figure=plain_figure(value)) if at_least else plain_figure(value)


def fit_axis(data: Dataset) -> Axis:
    """Make the axis of every picture of fit factors, the same for all."""
    top = fit_top(data)
    powers = powers_of_ten(top)
    ticks = powers if len(powers) <= 5 else powers[::2]
    return Axis(1.0, top, PASS_LEVEL, tuple((tick, plain_figure(tick)) for tick in ticks), say("card.median"))


def fit_bar(row: Row, label: str) -> Bar:
    """Make a row of the summary a row of a picture."""
    return Bar(
        label=label,
        low=row["lowest_fit_factor"],
        middle=row["median_fit_factor"],
        high=row["highest_fit_factor"],
        figure=fit_words(row["median_fit_factor"], row["median_at_least"]),
        notes=(written(count("test", row["tests"]), ""), written(count("wearer", row["wearers"]), "")),
        muted=not row["parts"],
        open_middle=row["median_at_least"],
        open_high=row["highest_at_least"],
    )


def ratio_bar(label: str, low: float, ratio: float, high: float) -> Bar:
    """Make an interval of a ratio a row of a picture."""
    return Bar(
        label,
        low,
        ratio,
        high,
        plain_figure(ratio),
        (say("figure.between", low=plain_figure(low), high=plain_figure(high)),),
    )


def ratio_axis(bars: Sequence[Bar]) -> Axis:
    """Make the axis of a picture of ratios: whole powers of two around 1, as many as the bars need."""
    low = min(-1, *(math.floor(math.log2(bar.low)) for bar in bars))
    high = max(2, *(math.ceil(math.log2(bar.high)) for bar in bars))
    step = math.ceil((high - low) / 6)
    powers = [power for power in range(low, high + 1) if power % step == 0]
    return Axis(
        2.0**low, 2.0**high, 1.0, tuple((2.0**power, plain_figure(2.0**power)) for power in powers), say("card.times")
    )


def preview_card(
    data: Dataset,
    title: str,
    lead: str,
    *,
    bars: Sequence[Bar] = (),
    axis: Axis | None = None,
    sentences: Sequence[str] = (),
) -> Drawing:
    """Lay out the picture that previews of links to a page show; title and lead are in the letters of a PNG."""
    return card(
        title,
        lead,
        bars=bars,
        axis=axis,
        sentences=[written(sentence, "") for sentence in sentences],
        invented=say("card.invented") if data.invented else "",
        no_promise=say("card.no_promise"),
        height=PREVIEW_HEIGHT,
        brand=written(data.name, UNNAMED),
    )
