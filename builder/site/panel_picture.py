"""The face panel in a page: the wearers of each cell, and where the cells lead."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pandas as pd
from markupsafe import Markup

from builder.fit.panel import CELLS
from builder.pictures.face_panel import PanelCell, face_panel
from builder.pictures.svg import styled
from builder.words.catalogue import count, say
from builder.words.numbers import percent


def wearers_by_cell(counted: pd.DataFrame) -> dict[str, int]:
    """Count the wearers in each cell, over the tests given."""
    return {str(cell): int(n) for cell, n in counted.groupby("cell")["wearer"].nunique().items()}


def panel_picture(wearers: Mapping[str, int], link: Callable[[str], str] | None = None, here: str = "") -> Markup:
    """Draw the panel with the number of wearers in each cell, darker where there are more, and its share of people.

    `link` gives the address of a cell's page; `here` marks one cell. A table beside it should say the same in words.
    """
    cells = []
    for cell in CELLS:
        n = wearers.get(cell.name, 0)
        drawn = PanelCell(
            name=cell.name,
            length_low=cell.length_low,
            length_high=cell.length_high,
            width_low=cell.width_low,
            width_high=cell.width_high,
            count=n,
            share=percent(cell.share_percent),
            here=cell.name == here,
            address=link(cell.name) if link else "",
            label=say("panel.cell", cell=cell.name, wearers=count("wearer", n)),
        )
        cells.append(drawn)
    return Markup(styled(face_panel(cells, say("people.length"), say("people.width")), "sb-panel"))
