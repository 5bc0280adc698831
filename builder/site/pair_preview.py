"""What a discussion shows of a comparison when the address of its page is pasted there."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.fit.compare.two_configurations import Comparison
from builder.pictures.bars import Bar
from builder.pictures.lettering import written
from builder.pictures.shapes import Drawing
from builder.site.picture_rows import plain_change, plain_figure, plain_mask, preview_card, ratio_axis
from builder.words.catalogue import say
from builder.words.numbers import between
from builder.words.pair_words import pair_verdict


def pair_preview(data: Dataset, found: Comparison) -> Drawing:
    """Show the ratio with its interval and what a new face may expect, and say the verdict."""
    mask, _, parts = found.b.partition("+")
    title = plain_mask(data, mask)
    if parts:
        lead = say("pair.lead_change", change=plain_change(data, parts))
    else:
        title = say("pair.title_masks", mask=title, other=plain_mask(data, found.a))
        lead = say("pair.lead_masks")
    bars = _bars(found)
    axis = ratio_axis(bars) if bars else None
    return preview_card(
        data, written(title, mask), written(lead, ""), bars=bars, axis=axis, sentences=[pair_verdict(found)]
    )


def _bars(found: Comparison) -> list[Bar]:
    """Give the ratio and, where several wearers tell, what a new face may expect; nothing without a ratio."""
    if found.ratio is None:
        return []
    label = say("pair.bar_together" if found.pooled > 1 else "pair.bar_alone")
    bars = [_bar(label, found.low90, found.ratio, found.high90, plain_figure(found.ratio))]
    if found.bound == "none" and found.predict_low95 is not None:
        label = say("pair.bar_new_face")
        bars.append(_bar(label, found.predict_low95, found.ratio, found.predict_high95, ""))
    return bars


def _bar(label: str, low: float | None, ratio: float, high: float | None, figure: str) -> Bar:
    """Make an interval a row; one that is open ends at the ratio, with an arrow where it goes on upwards."""
    return Bar(
        written(label, ""),
        ratio if low is None else low,
        ratio,
        ratio if high is None else high,
        figure,
        (written(between(low, high), ""),),
        open_middle=low is None or high is None,
        open_high=high is None,
    )
