"""The start page: which masks sealed on whom, whether a mask is in it, what to try, how to add one's own."""

from __future__ import annotations

from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.findings.mask_wearers import FaceLength, MaskWearers, masks_best_first
from builder.fit.levels import RANKED_FACES
from builder.pictures.svg import styled
from builder.pictures.wearer_field import Seal, wearer_field
from builder.site.published import PublishedPage, Renderer
from builder.words.catalogue import say
from builder.words.labels import mask_label
from builder.words.start_words import answer, of_people

MOST_ROWS = 25
"""Masks in the table of figures."""
MOST_DRAWN, MOST_FOLDED = 12, 240
"""Masks in the picture, and below it where it is unfolded."""


def start_page(data: Dataset, render: Renderer) -> PublishedPage:
    """A mark for everybody who tried a mask as sold, best masks first, and the same in figures."""
    ranked = masks_best_first(data)
    labels = [mask_label(data.entries.masks[mask.row["mask"]].mask) for mask in ranked]
    firm = sum(mask.row["wearers"] >= RANKED_FACES for mask in ranked)
    drawn = [_drawn(mask, label) for mask, label in zip(ranked[: MOST_DRAWN + MOST_FOLDED], labels, strict=False)]
    html = render(
        "start.html",
        depth=0,
        answer=answer(ranked, labels[0]) if ranked else (),
        drawn=drawn[: min(firm, MOST_DRAWN)],
        few=drawn[firm:MOST_DRAWN],
        folded=drawn[MOST_DRAWN:],
        lengths=(FaceLength.SHORTER, FaceLength.LONGER),
        rows=[mask.row | {"label": label} for mask, label in zip(ranked[:MOST_ROWS], labels, strict=False)],
        more=max(0, len(ranked) - MOST_ROWS),
    )
    description = say("about.start")
    return PublishedPage(address="", title=data.name, description=description, html=html)


def _drawn(mask: MaskWearers, label: str) -> dict[str, object]:
    outcomes: dict[bool | None, Seal] = {True: "fits", False: "not", None: "unknown"}
    people = [(outcomes[one.reached], one.length.value) for one in mask.wearers]
    return {
        "mask": mask.row["mask"],
        "label": label,
        "picture": Markup(styled(wearer_field(people), "sb-people__field")),
        "all": of_people(mask),
        "of_length": {length: of_people(mask, length) for length in (FaceLength.SHORTER, FaceLength.LONGER)},
    }
