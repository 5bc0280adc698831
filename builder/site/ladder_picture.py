"""What each change of a mask was worth beside it as sold, as one picture: a ratio with its interval a row."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.fit.compare.ladders import Rung
from builder.pictures.forest import Ratio, forest_chart, forest_picture
from builder.pictures.svg import fluid
from builder.site.ratio_axis import KINDS, ratio_axis
from builder.words.catalogue import count, say
from builder.words.comparisons import ratio_label, verdict_words
from builder.words.labels import change_label


def ladder_picture(data: Dataset, rungs: Sequence[Rung], mask: str) -> Markup:
    """Draw the changes that have a ratio, best first; nothing where none has. `mask` is the mask's label."""
    ratios = [
        Ratio(
            change_label(data, rung.parts),
            say(
                "chart.rung",
                ratio=ratio_label(found),
                wearers=count("wearer", len(found.wearers)),
                verdict=verdict_words(found),
            ),
            found.ratio,
            found.low90,
            found.high90,
            KINDS[found.bound],
        )
        for rung in rungs
        if (found := rung.comparison).ratio is not None
    ]
    if not ratios:
        return Markup("")
    highest, ticks = ratio_axis(ratio.value for ratio in ratios)
    said = "; ".join(say("chart.labelled", label=ratio.label, figures=ratio.figures) for ratio in ratios)
    drawing = forest_picture(
        forest_chart(ratios, highest, ticks, say("chart.ratio")),
        say("chart.ladder", mask=mask),
        say("chart.ladder_about", rows=said),
    )
    return Markup(fluid(drawing, "ladder"))
