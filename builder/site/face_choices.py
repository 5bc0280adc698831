"""The faces that a mask's page can be narrowed to: the cells and nose bridges that wearers of it have."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from builder.fit.panel import PANEL_SEATS
from builder.records.vocabulary import NoseBridge
from builder.site.shown_tests import ShownTest
from builder.words.catalogue import count, say
from builder.words.labels import bridge_label, cell_label


@dataclass(frozen=True)
class FaceChoice:
    """One choice: its value in the address, what it is called within a sentence, and its label with its wearers."""

    value: str
    name: str
    label: str


@dataclass(frozen=True)
class FaceChoices:
    """The choices of one kind, by its key in the address, with the label of their field and of any."""

    key: str
    label: str
    any: str
    choices: tuple[FaceChoice, ...]


def face_choices(tests: Sequence[ShownTest]) -> list[FaceChoices]:
    """List the cells and the nose bridges of the wearers of some tests that count; a kind of one alone is no choice."""
    kinds = (
        ("cell", say("face_type.in_cell"), say("face_type.any_cell"), cell_label, list(PANEL_SEATS)),
        ("bridge", say("form.nose_bridge"), say("face_type.any_bridge"), bridge_label, list(NoseBridge)),
    )
    pairs = {"cell": {(t.cell, t.wearer) for t in tests}, "bridge": {(t.nose_bridge, t.wearer) for t in tests}}
    found = [
        FaceChoices(key, label, anything, _choices(pairs[key], name, [*order]))
        for key, label, anything, name, order in kinds
    ]
    return [kind for kind in found if len(kind.choices) > 1]


def _choices(
    pairs: Iterable[tuple[str, str]], name: Callable[[str], str], order: Sequence[str]
) -> tuple[FaceChoice, ...]:
    """Give a choice for each value in its order, those that are no place of it last."""
    wearers: dict[str, int] = {}
    for value, _ in pairs:
        wearers[value] = wearers.get(value, 0) + 1
    place = {value: at for at, value in enumerate(order)}
    return tuple(
        FaceChoice(value, name(value), say("explore_page.face_choice", face=name(value), wearers=count("wearer", n)))
        for value, n in sorted(wearers.items(), key=lambda one: (place.get(one[0], len(place)), one[0]))
    )
