"""What stands below pictures and drawings."""

from __future__ import annotations

from collections.abc import Collection

from builder.findings.dataset import Dataset
from builder.records.models import Picture
from builder.records.vocabulary import Slot, Style
from builder.words.catalogue import say
from builder.words.labels import mask_label, part_label
from builder.words.vocabulary_words import label, within


def picture_words(data: Dataset, picture: Picture, *, of_part: bool) -> str:
    """Say what a picture shows beside its own mask or part, and its licence."""
    licence = say("picture.licence", licence=label(picture.licence))
    if not picture.shows:
        return licence
    if of_part:
        names = ", ".join(mask_label(data.entries.masks[mask].mask) for mask in picture.shows)
        return f"{say('picture.on', masks=names)} {licence}"
    names = ", ".join(part_label(data, part) for part in picture.shows)
    return f"{say('picture.with', parts=names)} {licence}"


def drawing_title(style: Style, slots: Collection[Slot]) -> str:
    """Name a drawing, for whoever cannot see it."""
    return say("picture.title", style=label(style), places=_places(slots)) if slots else label(style)


def drawn_words(style: Style, slots: Collection[Slot]) -> str:
    """Say what a drawing is, and what is marked in it."""
    drawn = say("picture.drawn", style=within(style))
    return f"{drawn} {say('picture.marked', places=_places(slots))}" if slots else drawn


def _places(slots: Collection[Slot]) -> str:
    return ", ".join(within(slot) for slot in Slot if slot in slots)
