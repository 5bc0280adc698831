"""The explorer's picture of fit beside comfort and breathing: what a configuration gains, and what it costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.fit.levels import PASS_LEVEL
from builder.pictures.chart_frame import Tick
from builder.pictures.comfort_field import ComfortAxes, WornMark, comfort_field, comfort_picture
from builder.pictures.scale import powers_of_ten
from builder.pictures.svg import fluid
from builder.site.addresses import configuration_address
from builder.site.row_strips import fit_top
from builder.words.catalogue import count, language, say
from builder.words.numbers import figure, fit

MOST_MARKS = 150
"""More would hide each other; the list goes on."""


def comfort_counts(data: Dataset, configuration: str) -> dict[str, int]:
    """Count the donnings that tell of comfort and of breathing, and those that were comfortable and hard to breathe."""
    found = data.wearing_by_id.get(configuration)
    if found is None:
        return dict.fromkeys(("comfort_told", "comfortable", "breathing_told", "hard_to_breathe"), 0)
    comfort, breathing = found["comfortable_tests"], found["hard_to_breathe_tests"]
    return {
        "comfort_told": comfort,
        "comfortable": round(found["comfortable"] * comfort) if comfort else 0,
        "breathing_told": breathing,
        "hard_to_breathe": round(found["hard_to_breathe"] * breathing) if breathing else 0,
    }


def comfort_of_rows(data: Dataset, rows: Sequence[Mapping[str, Any]], root: str) -> tuple[Markup, str]:
    """Draw the rows of which comfort is told, and say of how many it is not; `root` leads to the site's own.

    A row has `id`, `label`, its figures, and `comfort_counts`. Nothing where nobody told anything.
    """
    tried = [row for row in rows if row["tests"]]
    told = [row for row in tried if row["comfort_told"]]
    if not told:
        return Markup(""), ""
    marks = [
        WornMark(
            row["median_fit_factor"],
            row["comfortable"] / row["comfort_told"],
            2 * row["hard_to_breathe"] >= max(1, row["breathing_told"]),
            "+" not in row["id"],
            comfort_words(row),
            root + configuration_address(row["id"]),
        )
        for row in told[:MOST_MARKS]
    ]
    top = fit_top(data)
    ticks = [Tick(value, figure(value)) for value in powers_of_ten(top)]
    shares = [Tick(share, language().number.level(share)) for share in (0.0, 0.5, 1.0)]
    axes = ComfortAxes(top, PASS_LEVEL, say("compare.axis"), ticks, say("comfort.up"), shares)
    shapes = comfort_field(marks, axes, MOST_MARKS)
    drawing = comfort_picture(
        shapes, say("comfort.title"), say("comfort.about", configurations=count("configuration", len(marks)))
    )
    return Markup(fluid(drawing, "comfort")), untold_words(len(marks), len(tried))


def comfort_words(row: Mapping[str, Any]) -> str:
    """Say what a mark stands for."""
    return say(
        "comfort.mark",
        configuration=row["label"],
        median=fit(row["median_fit_factor"], row["median_at_least"]),
        wearers=count("wearer", row["wearers"]),
        comfortable=say("wearing.of", n=row["comfortable"], of=row["comfort_told"]),
        easy=say("wearing.of", n=row["breathing_told"] - row["hard_to_breathe"], of=row["breathing_told"])
        if row["breathing_told"]
        else say("wearing.not_noted"),
    )


def untold_words(drawn: int, tried: int) -> str:
    """Say of how many configurations the picture has no mark, since nobody told how they are to wear; "" for none."""
    return "" if drawn == tried else say("comfort.drawn", drawn=drawn, configurations=count("configuration", tried))
