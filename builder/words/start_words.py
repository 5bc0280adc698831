"""What the first page says in a sentence: how the best mask as sold did, and how many others did worse than half."""

from __future__ import annotations

from builder.findings.mask_wearers import FaceLength, MaskWearers
from builder.fit.levels import RANKED_FACES
from builder.words.catalogue import count, say

_LEAST_MASKS = 3
"""Fewer masks than this are not summed up."""


def answer(ranked: tuple[MaskWearers, ...], label: str) -> tuple[str, ...]:
    """Say what the picture shows, in sentences; none where no mask was tried on `RANKED_FACES` people.

    `label` names the first of the masks.
    """
    firm = [mask for mask in ranked if mask.row["wearers"] >= RANKED_FACES and mask.counts()[1]]
    if not firm or firm[0] is not ranked[0]:
        return ()
    reached, known = ranked[0].counts()
    said = [say("start.best", mask=label, reached=reached, people=known)]
    under = sum(2 * reached < known for reached, known in (mask.counts() for mask in firm))
    if len(firm) >= _LEAST_MASKS and under:
        said.append(say("start.under_half", under=under, masks=count("mask", len(firm))))
    return tuple(said)


def of_people(mask: MaskWearers, length: FaceLength | None = None) -> str:
    """Count people: "7 of 10"; nothing where nobody of that length of face tried the mask."""
    reached, known = mask.counts(length)
    return say("summary.reached", reached=reached, wearers=known) if known else say("start.nobody")
