"""The face panel, and a page for each of its cells."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from builder.fit.faces import CELLS
from builder.fit.summaries import summarise
from builder.site.dataset import Dataset, rows_of
from builder.site.names import cell_address, cell_label
from builder.site.pages import PublishedPage, Renderer
from builder.site.panel import panel_picture

SECTION = "faces.md"
OTHER_CELLS = ("outside", "unknown")


def face_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give the panel, then a page a cell, and one each for faces outside it and faces not measured."""
    wearers = wearers_by_cell(data.counted)
    yield PublishedPage(
        address="faces/",
        title="Faces",
        description="How to measure a face, and how many wearers stand in each cell of the panel.",
        html=render(
            "faces.html",
            depth=1,
            cells=CELLS,
            others=OTHER_CELLS,
            wearers=wearers,
            tests=data.counted.groupby("cell").size().to_dict(),
            panel=panel_picture(wearers, lambda cell: f"../{cell_address(cell)}"),
        ),
        section=SECTION,
    )
    for name in [str(cell.number) for cell in CELLS] + list(OTHER_CELLS):
        yield _cell_page(data, render, name, wearers)


def wearers_by_cell(counted: pd.DataFrame) -> dict[str, int]:
    """Count the wearers in each cell, over the tests given."""
    return {str(cell): int(n) for cell, n in counted.groupby("cell")["wearer"].nunique().items()}


def _cell_page(data: Dataset, render: Renderer, name: str, wearers: dict[str, int]) -> PublishedPage:
    own = data.table[data.table["cell"] == name]
    summary = summarise(own)
    summary = summary[summary["tests"] > 0].sort_values(["median_fit_factor", "configuration"], ascending=[False, True])
    title = cell_label(name)
    bridges = own[own["counted"]].groupby("nose_bridge")["wearer"].nunique()
    return PublishedPage(
        address=cell_address(name),
        title=f"Faces: {title}",
        description=f"Every configuration tried on faces in {title}, best median first.",
        html=render(
            "cell.html",
            depth=2,
            name=name,
            title=title,
            cell=next((cell for cell in CELLS if str(cell.number) == name), None),
            rows=rows_of(summary),
            wearers=wearers.get(name, 0),
            bridges={str(bridge): int(n) for bridge, n in bridges.items()},
            panel=panel_picture(wearers, lambda cell: f"../../{cell_address(cell)}", here=name),
        ),
        section=SECTION,
    )
