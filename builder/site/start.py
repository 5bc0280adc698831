"""The start page: what this is, whether a mask is in it, what to try, how to add one's own."""

from __future__ import annotations

from builder.site.dataset import Dataset, rows_of
from builder.site.names import mask_label
from builder.site.pages import PublishedPage, Renderer


def start_page(data: Dataset, render: Renderer) -> PublishedPage:
    """Three ways in, and every mask as sold on one scale, best first."""
    as_sold = data.summary[(data.summary["parts"] == "") & (data.summary["tests"] > 0)]
    ranked = as_sold.sort_values(["median_fit_factor", "configuration"], ascending=[False, True])
    rows = [row | {"label": mask_label(data.entries.masks[row["mask"]].mask)} for row in rows_of(ranked)]
    return PublishedPage(
        address="",
        title="Sealbook",
        description="Which masks fit which faces, and what cheap changes do: tests from many faces, open to check.",
        html=render("start.html", depth=0, rows=rows),
    )
