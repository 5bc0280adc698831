"""The start page: what this is, whether a mask is in it, what to try, how to add one's own."""

from __future__ import annotations

from builder.findings.dataset import Dataset, rows_of
from builder.findings.standing import standing
from builder.site.published import PublishedPage, Renderer
from builder.words.labels import mask_label

MOST_ROWS = 25


def start_page(data: Dataset, render: Renderer) -> PublishedPage:
    """Three ways in, and masks as sold on one scale, best first."""
    as_sold = rows_of(data.summary[(data.summary["parts"] == "") & (data.summary["tests"] > 0)])
    ranked = sorted(as_sold, key=standing, reverse=True)
    rows = [row | {"label": mask_label(data.entries.masks[row["mask"]].mask)} for row in ranked[:MOST_ROWS]]
    return PublishedPage(
        address="",
        title="Sealbook",
        description="Which masks fit which faces, and what cheap changes do: tests from many faces, open to check.",
        html=render("start.html", depth=0, rows=rows, more=len(ranked) - len(rows)),
    )
