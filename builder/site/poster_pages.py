"""A poster for a notice board: which masks to try first, for anybody and for each cell of the panel, a sheet each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from builder.findings.advice import Ranked, advise
from builder.findings.dataset import Dataset
from builder.findings.mask_wearers import MaskWearers, masks_best_first
from builder.fit.facemodel import FaceDescription
from builder.fit.levels import RANKED_FACES
from builder.fit.panel import CELLS, Cell
from builder.site.face_pages import ten_people
from builder.site.published import PublishedPage, Renderer
from builder.words.catalogue import count, say
from builder.words.chances import of_ten
from builder.words.labels import cell_label, is_medical, mask_label
from builder.words.numbers import span

ADDRESS = "poster/"
MOST_MASKS = 5
"""Masks on a sheet."""


@dataclass(frozen=True)
class PosterMask:
    """A mask in big letters: its label, what came of it in people, drawn where that is a chance."""

    label: str
    people: str
    picture: Markup
    medical: bool


def poster_pages(data: Dataset, render: Renderer, address: str) -> Iterator[PublishedPage]:
    """Give the poster for anybody, and one for each cell where chances are predicted.

    `address` is that of the site, "" where it has none yet.
    """
    ranked = [mask for mask in masks_best_first(data) if mask.row["wearers"] >= RANKED_FACES]
    masks = [_tried(data, mask) for mask in ranked[:MOST_MASKS]]
    yield _poster(data, render, address, None, masks)
    for cell in CELLS if data.model else ():
        advice = advise(data, FaceDescription(cell=cell.name), as_sold=True)
        known = [row for row in advice.ranked if not row.little_known]
        yield _poster(data, render, address, cell, [_likely(data, row) for row in known[:MOST_MASKS]])


def poster_address(cell: str = "") -> str:
    """Where the poster for a cell stands, "" for that for anybody."""
    return f"{ADDRESS}cell-{cell}/" if cell else ADDRESS


def _poster(data: Dataset, render: Renderer, address: str, cell: Cell | None, masks: list[PosterMask]) -> PublishedPage:
    heading = say("poster.for_cell", cell=cell_label(cell.name)) if cell else say("poster.title")
    lengths = cell and (span(cell.length_low, cell.length_high), span(cell.width_low, cell.width_high))
    return PublishedPage(
        address=poster_address(cell.name if cell else ""),
        title=heading,
        description=say("poster.about"),
        html=render(
            "poster.html",
            depth=2 if cell else 1,
            heading=heading,
            who=say("poster.of_cell", lengths=lengths[0], widths=lengths[1]) if lengths else say("poster.of_all"),
            masks=masks,
            site=address,
            cells=[one.name for one in CELLS] if data.model else [],
            poster_address=poster_address,
        ),
        section="faces.md",
    )


def _tried(data: Dataset, mask: MaskWearers) -> PosterMask:
    reached, known = mask.counts()
    record = data.entries.masks[mask.row["mask"]].mask
    said = say("poster.sealed", reached=reached, people=count("person", known))
    return PosterMask(mask_label(record), said, Markup(""), is_medical(data, mask.row["mask"]))


def _likely(data: Dataset, row: Ranked) -> PosterMask:
    chance = row.chance or 0.0
    record = data.entries.masks[row.configuration].mask
    return PosterMask(mask_label(record), of_ten(chance), ten_people(chance), is_medical(data, row.configuration))
