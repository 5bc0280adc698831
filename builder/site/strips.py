"""The small picture in a table row: median and range on a log scale, the line at fit factor 100 marked."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from builder.fit.levels import PASS_LEVEL
from builder.words.numbers import figure

WIDTH = 160
HEIGHT = 18
MARGIN = 5


@dataclass(frozen=True)
class Scale:
    """A log axis from fit factor 1 to `top`, shared by every row of a table."""

    top: float

    @classmethod
    def covering(cls, fit_factors: Iterable[float]) -> Scale:
        """Choose the smallest power of ten, at least 1,000, that holds every value."""
        highest = max(fit_factors, default=1.0)
        return cls(10.0 ** max(3, math.ceil(math.log10(max(highest, 1.0)))))

    def x(self, fit_factor: float) -> float:
        """Place a fit factor on the strip, in its own units from the left."""
        share = math.log(max(fit_factor, 1.0)) / math.log(self.top)
        return round(MARGIN + share * (WIDTH - 2 * MARGIN), 1)

    def ticks(self) -> Markup:
        """Label every other power of ten, and 100, above a column of strips."""
        powers = [10.0**p for p in range(0, round(math.log10(self.top)) + 1) if self.top <= 1000 or p % 2 == 0]
        marked = {PASS_LEVEL: ' class="sb-ticks__pass"'}
        labels = "".join(
            f'<text{marked.get(tick, "")} x="{self.x(tick)}" y="11">{figure(tick)}</text>' for tick in powers
        )
        return Markup(f'<svg class="sb-ticks" viewBox="0 0 {WIDTH} 14" aria-hidden="true">{labels}</svg>')

    def strip(self, low: float, median: float, high: float, high_at_least: bool, median_at_least: bool) -> Markup:
        """Draw one row. The table's cells say the same in figures, so the picture is hidden from screen readers."""
        if math.isnan(median):
            return Markup("")
        a, m, b, line = self.x(low), self.x(median), self.x(high), self.x(PASS_LEVEL)
        middle = HEIGHT / 2
        arrow = f'<path class="sb-strip__more" d="M{b - 3} {middle - 4}l5 4-5 4"/>' if high_at_least else ""
        dot = "sb-strip__dot sb-strip__dot--open" if median_at_least else "sb-strip__dot"
        return Markup(
            f'<svg class="sb-strip" viewBox="0 0 {WIDTH} {HEIGHT}" aria-hidden="true">'
            f'<path class="sb-strip__base" d="M{MARGIN} {middle}H{WIDTH - MARGIN}"/>'
            f'<path class="sb-strip__pass" d="M{line} 1V{HEIGHT - 1}"/>'
            f'<path class="sb-strip__range" d="M{a} {middle}H{b}"/>{arrow}'
            f'<circle class="{dot}" cx="{m}" cy="{middle}" r="4"/></svg>'
        )
