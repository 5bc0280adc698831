"""The picture of one comparison: what its wearers say together, what a new face may expect, and each of them."""

from __future__ import annotations

from markupsafe import Markup

from builder.fit.compare.contrasts import Contrast
from builder.fit.compare.two_configurations import Comparison
from builder.pictures.forest import Ratio
from builder.pictures.svg import fluid
from builder.pictures.wearer_ratios import wearer_ratios
from builder.site.ratio_axis import KINDS, fitted_axis
from builder.words.catalogue import count, say
from builder.words.labels import wearer_label
from builder.words.numbers import between
from builder.words.pair_words import ratio_figures


def pair_picture(found: Comparison, title: str) -> Markup:
    """Draw a comparison, the wearer with the highest ratio first; nothing where no wearer tells a ratio."""
    each = [
        Ratio(wearer_label(one), ratio_figures(one), one.ratio, one.low90, one.high90, KINDS[one.bound])
        for one in sorted(found.wearers, key=_highest_first)
        if one.ratio is not None
    ]
    if not each:
        return Markup("")
    together = _together(found)
    ends = [ratio.value for ratio in (*together, *each)]
    ends += [end for ratio in together for end in (ratio.low, ratio.high) if end is not None]
    drawing = wearer_ratios(
        together,
        each,
        fitted_axis(ends),
        name=say("ratios.axis"),
        crowd=say("ratios.crowd", wearers=count("wearer", len(each))),
        title=say("ratios.picture", title=title),
        description=say("pair.picture_about", ratio=ratio_figures(found), wearers=count("wearer", len(each))),
    )
    return Markup(fluid(drawing, "pair"))


def _together(found: Comparison) -> list[Ratio]:
    if found.ratio is None or found.pooled < 2:
        return []
    kind = KINDS[found.bound]
    label = say("ratios.together", wearers=count("wearer", found.pooled))
    rows = [
        Ratio(label, ratio_figures(found), found.ratio, found.low90, found.high90, "mean" if kind == "exact" else kind)
    ]
    low, high = found.predict_low95, found.predict_high95
    if low is not None or high is not None:
        rows.append(Ratio(say("ratios.new_face"), between(low, high), found.ratio, low, high, "expected"))
    return rows


def _highest_first(one: Contrast) -> tuple[float, str, str]:
    return -(one.ratio or 0.0), one.wearer, one.facial_hair
