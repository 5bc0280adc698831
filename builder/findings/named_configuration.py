"""Configurations by the names that people write: the parts in any order."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.records.vocabulary import Slot


def configuration_named(data: Dataset, name: str) -> str:
    """Give the id of the configuration that is meant: its parts in slot order, each once, blanks left out.

    What names no part of these entries stays where it stands, so that a message can quote it.
    """
    mask, *parts = (piece.strip() for piece in name.split("+"))
    places = {part: _place(data, part) for part in parts}
    if None in places.values():
        return "+".join((mask, *parts))
    return "+".join((mask, *sorted(places, key=lambda part: (places[part], part))))


def _place(data: Dataset, token: str) -> int | None:
    """Give the place of a part's slot; None for what is no part."""
    slots = list(Slot)
    part = data.part(token)
    if part is not None:
        return slots.index(part.slot)
    taken_out = token.removeprefix("no-")
    return slots.index(Slot(taken_out)) if token.startswith("no-") and taken_out in set(Slot) else None
