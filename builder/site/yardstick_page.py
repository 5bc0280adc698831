"""One mask as the measure of all: the page by the most tried mask, and the figures by each for its script."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.fit.compare.yardstick import Evidence, Measured, highest_first, measured_by
from builder.pictures.scale import LogScale
from builder.pictures.strip import GEOMETRY, Reach, strip, strip_ticks
from builder.pictures.svg import styled
from builder.site.published import PublishedFile, PublishedPage, Renderer, coded, compact_json, packed
from builder.site.ratio_axis import fitted_axis
from builder.words.catalogue import count, say
from builder.words.labels import configuration_label, mask_label
from builder.words.numbers import times

ADDRESS = "yardstick/"
MOST_ROWS = 60
"""Rows in the page itself; the script shows so many more at a time."""
_MOST_TICKS = 4
_FIGURES = 9
"""Digits of published ratios: what is rounded twice seldom shows another third digit."""


@dataclass(frozen=True)
class Ladder:
    """All configurations by one mask, highest first, on one axis; `apart` are those without a chain to it."""

    reference: str
    rows: tuple[Measured, ...]
    apart: tuple[str, ...]
    low: float
    high: float
    ticks: tuple[float, ...]

    @property
    def scale(self) -> LogScale:
        """The axis of the small pictures."""
        return LogScale(self.low, self.high, GEOMETRY["margin"], GEOMETRY["width"] - GEOMETRY["margin"])

    def heads(self) -> Markup:
        """Label the axis above the column."""
        return Markup(styled(strip_ticks({tick: times(tick) for tick in self.ticks}, self.scale, 1.0), "sb-ticks"))

    def strip(self, row: Measured) -> Markup:
        """Draw one row; nothing where it has no ratio. The table's cells say the same."""
        if row.ratio is None or row.low90 is None or row.high90 is None:
            return Markup("")
        return Markup(styled(strip(Reach(row.low90, row.ratio, row.high90), self.scale, 1.0), "sb-strip"))


def yardsticks(data: Dataset) -> list[str]:
    """Name the masks that can be the measure: tried as sold by a wearer who tried something else too."""
    wearers = data.network.links.wearers
    names = data.network.configurations
    return [name for place, name in enumerate(names) if "+" not in name and bool(np.any(wearers[place] > 0))]


def ladder_by(data: Dataset, reference: str) -> Ladder:
    """Measure all configurations by a mask as sold."""
    found, apart = measured_by(data.network, reference)
    low, high, ticks = fitted_axis(row.ratio for row in found if row.ratio is not None)
    values = [tick.value for tick in ticks]
    if len(values) > _MOST_TICKS:
        values = [tick.value for tick in ticks if float(np.log10(tick.value)).is_integer()]
    return Ladder(reference, tuple(highest_first(found)), apart, low, high, tuple(values))


def yardstick_page(data: Dataset, render: Renderer) -> PublishedPage:
    """Make the page, by the mask that most wearers tried; without scripts it holds its highest rows."""
    choices = yardsticks(data)
    ladder = ladder_by(data, data.reference) if data.reference in choices else None
    return PublishedPage(
        address=ADDRESS,
        title=say("yardstick.title"),
        description=say("yardstick.description"),
        html=render(
            "yardstick.html",
            depth=1,
            ladder=ladder,
            shown=ladder.rows[:MOST_ROWS] if ladder else (),
            choices=_choices(data, choices),
            apart=[configuration_label(data, name) for name in ladder.apart[:MOST_ROWS]] if ladder else [],
        ),
        section="compare.md",
    )


def _choices(data: Dataset, masks: Sequence[str]) -> list[tuple[str, str]]:
    """Give the id of each mask and its name with the wearers who tried it, by name."""
    faces = data.measured_arms.by_configuration
    named = [
        (mask, mask_label(data.entries.masks[mask].mask), count("wearer", len({face.wearer for face in faces[mask]})))
        for mask in masks
        if mask in faces and mask in data.entries.masks
    ]
    named.sort(key=lambda one: (one[1].casefold(), one[0]))
    return [(mask, say("yardstick.choice", mask=label, wearers=wearers)) for mask, label, wearers in named]


def yardstick_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give the figures by each mask: what the script shows when a reader chooses it."""
    for reference in yardsticks(data):
        ladder = ladder_by(data, reference)
        rows = ladder.rows
        published = {
            "axis": [_short(ladder.low), _short(ladder.high)],
            "ticks": ladder.ticks,
            "rows": {
                "configuration": [row.configuration for row in rows],
                "ratio": [_short(row.ratio) for row in rows],
                "low": [_short(row.low90) for row in rows],
                "high": [_short(row.high90) for row in rows],
                "direct": [_ratio(row.direct) for row in rows],
                "indirect": [_ratio(row.indirect) for row in rows],
                "disagree": [int(row.disagree) for row in rows],
                "steps": coded([[name for name, _ in row.chain[:-1]] for row in rows]),
                "wearers": coded([[wearers for _, wearers in row.chain] for row in rows]),
            },
            "apart": ladder.apart,
        }
        yield PublishedFile(f"{ADDRESS}{reference}.packed", packed(compact_json(published)))


def _ratio(told: Evidence | None) -> float | None:
    return _short(told.ratio if told else None)


def _short(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.{_FIGURES}g}")
