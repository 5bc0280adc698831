"""The face panel as a picture: length against width, a rectangle a cell, a number in each."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pandas as pd
from markupsafe import Markup, escape

from builder.fit.panel import CELLS
from builder.words.catalogue import count

LEFT, TOP = 44, 6
X0, Y0 = 119.0, 97.5
PER_MM = 10.0
WIDTH = LEFT + (160 - X0) * PER_MM
HEIGHT = TOP + (140 - Y0) * PER_MM + 38


def wearers_by_cell(counted: pd.DataFrame) -> dict[str, int]:
    """Count the wearers in each cell, over the tests given."""
    return {str(cell): int(n) for cell, n in counted.groupby("cell")["wearer"].nunique().items()}


def panel_picture(wearers: Mapping[str, int], link: Callable[[str], str] | None = None, here: str = "") -> Markup:
    """Draw the panel with the number of wearers in each cell, darker where there are more, and its share of people.

    `link` gives the address of a cell's page; `here` marks one cell. A table beside it should say the same in words.
    """
    most = max([wearers.get(str(cell.number), 0) for cell in CELLS] + [1])
    parts = []
    for cell in CELLS:
        number = str(cell.number)
        n = wearers.get(number, 0)
        x, y = LEFT + (cell.width_low - X0) * PER_MM, TOP + (140 - cell.length_high) * PER_MM
        w, h = (cell.width_high - cell.width_low) * PER_MM, (cell.length_high - cell.length_low) * PER_MM
        shade = 0 if n == 0 else 1 + round(3 * n / most)
        current = " sb-panel__cell--here" if number == here else ""
        body = (
            f'<rect class="sb-panel__cell sb-panel__cell--{shade}{current}" data-cell="{number}"'
            f' x="{x:g}" y="{y:g}" width="{w:g}" height="{h:g}"/>'
            f'<text class="sb-panel__name" x="{x + 7:g}" y="{y + 17:g}">{number}</text>'
            f'<text class="sb-panel__share" x="{x + w - 6:g}" y="{y + h - 7:g}">{cell.share_percent:g} %</text>'
            f'<text class="sb-panel__n" x="{x + w / 2:g}" y="{y + h / 2 + 6:g}">{n or "–"}</text>'
        )
        if link is not None:
            label = escape(f"Cell {number}: {count('wearer', n)}")
            # The link lies over the figures as a clear sheet, so that its name is the sentence alone.
            sheet = f'<rect class="sb-panel__sheet" x="{x:g}" y="{y:g}" width="{w:g}" height="{h:g}"/>'
            body += f'<a href="{escape(link(number))}" aria-label="{label}">{sheet}</a>'
        parts.append(body)
    hidden = "" if link is not None else ' aria-hidden="true"'
    return Markup(f'<svg class="sb-panel" viewBox="0 0 {WIDTH:g} {HEIGHT:g}"{hidden}>{"".join(parts)}{_axes()}</svg>')


def _axes() -> str:
    widths = "".join(
        f'<text class="sb-panel__tick" x="{LEFT + (mm - X0) * PER_MM:g}" y="{HEIGHT - 20:g}">{mm}</text>'
        for mm in (120, 130, 140, 150)
    )
    lengths = "".join(
        f'<text class="sb-panel__tick sb-panel__tick--y"'
        f' x="{LEFT - 5}" y="{TOP + (140 - mm) * PER_MM + 4:g}">{mm}</text>'
        for mm in (100, 110, 120, 130)
    )
    middle = LEFT + (WIDTH - LEFT) / 2
    return (
        f'<g aria-hidden="true">{widths}{lengths}'
        f'<text class="sb-panel__axis" x="{middle:g}" y="{HEIGHT - 4:g}">face width, mm</text>'
        f'<text class="sb-panel__axis" x="10" y="{TOP + (HEIGHT - 44) / 2:g}" '
        f'transform="rotate(-90 10 {TOP + (HEIGHT - 44) / 2:g})">face length, mm</text></g>'
    )
