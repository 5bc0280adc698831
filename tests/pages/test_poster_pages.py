"""The posters: which masks they name first, counted in people."""

from __future__ import annotations

from dataclasses import replace

from builder.findings.advice import advise
from builder.findings.dataset import Dataset
from builder.findings.mask_wearers import masks_best_first
from builder.fit.facemodel import FaceDescription
from builder.site.poster_pages import MOST_MASKS, poster_address, poster_pages
from builder.site.published import Renderer
from builder.words.chances import of_ten
from builder.words.labels import mask_label


def test_anybodys_poster_has_the_best_masks_with_how_many_they_sealed_on(demo: Dataset) -> None:
    first, *others = poster_pages(demo, Renderer(demo), "https://bench.example/")
    assert (first.address, first.title) == ("poster/", "What to try first")
    best = masks_best_first(demo)[:MOST_MASKS]
    reached, known = best[0].counts()
    assert mask_label(demo.entries.masks[best[0].row["mask"]].mask) in first.html
    assert f"sealed on {reached} of {known} people who tried it" in first.html
    assert "<strong>https://bench.example/</strong>" in first.html
    assert [page.address for page in others] == [poster_address(str(cell)) for cell in range(1, 11)]


def test_a_cells_poster_counts_chances_in_ten_people(demo: Dataset) -> None:
    pages = {page.address: page for page in poster_pages(demo, Renderer(demo), "")}
    page = pages["poster/cell-4/"]
    assert page.title == "What to try first, faces of cell 4"
    advice = advise(demo, FaceDescription(cell="4"), as_sold=True)
    for row in [row for row in advice.ranked if not row.little_known][:MOST_MASKS]:
        assert row.chance is not None
        assert of_ten(row.chance) in page.html
    assert "+" not in page.html.partition("<ol")[2].partition("</ol>")[0]
    assert "http" not in page.html


def test_without_a_test_the_poster_says_so(demo: Dataset) -> None:
    table = demo.table.assign(counted=False)
    bare = replace(demo, table=table, summary=demo.summary.assign(tests=0, wearers=0))
    first = next(iter(poster_pages(bare, Renderer(bare), "")))
    assert "No mask has been tried on enough people yet." in first.html
