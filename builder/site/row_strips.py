"""The small pictures of a table's column, all on the one axis that every picture of fit factors has."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.fit.levels import PASS_LEVEL
from builder.pictures.scale import LogScale, covering, powers_of_ten
from builder.pictures.strip import GEOMETRY, Reach, strip, strip_scale, strip_ticks
from builder.pictures.svg import styled
from builder.words.numbers import figure


def fit_top(data: Dataset) -> float:
    """Choose where the axis of every picture of fit factors ends; it begins at 1."""
    return covering(data.highest)


def strip_geometry(data: Dataset) -> dict[str, float]:
    """Give what a script needs to draw the same strips."""
    return {**GEOMETRY, "top": fit_top(data), "mark": PASS_LEVEL}


@dataclass(frozen=True)
class RowStrips:
    """A column of strips, as templates ask for it; `top` is where its axis ends."""

    top: float

    @cached_property
    def scale(self) -> LogScale:
        """The axis."""
        return strip_scale(self.top)

    def ticks(self) -> Markup:
        """Label every other power of ten, and 100, above the column."""
        powers = powers_of_ten(self.scale.high)
        labels = {power: figure(power) for power in (powers if self.scale.high <= 1000 else powers[::2])}
        return Markup(styled(strip_ticks(labels, self.scale, PASS_LEVEL), "sb-ticks"))

    def strip(self, low: float, median: float, high: float, high_at_least: bool, median_at_least: bool) -> Markup:
        """Draw one row; nothing without figures. The table's cells say the same."""
        if math.isnan(median):
            return Markup("")
        reach = Reach(low, median, high, median_at_least, high_at_least)
        return Markup(styled(strip(reach, self.scale, PASS_LEVEL), "sb-strip"))
