"""One mark a person: a disc for whom a mask sealed, a ring for whom it did not, a short line where that is not known.

The style sheet paints it, and may dim a group.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from builder.pictures.palette import Ink
from builder.pictures.shapes import Dots, Drawing, Lines, Shape

Seal = Literal["fits", "not", "unknown"]

A_LINE, APART, RADIUS = 20, 13, 5
"""Marks in a line, from one to the next, and the radius of each, in pixels."""


def wearer_field(people: Sequence[tuple[Seal, str]]) -> Drawing:
    """Draw people in their order, each by what came of it and the name of its group, line by line."""
    lines = max(1, -(-len(people) // A_LINE))
    places: dict[tuple[Seal, str], list[tuple[float, float]]] = {}
    for number, person in enumerate(people):
        line, place = divmod(number, A_LINE)
        places.setdefault(person, []).append((APART * (place + 0.5), APART * (line + 0.5)))
    shapes: list[Shape] = []
    for (outcome, group), points in places.items():
        css = f"sb-people__{outcome} sb-people--{group}"
        if outcome == "unknown":
            strokes = tuple(((x - 3, y), (x + 3, y)) for x, y in points)
            shapes.append(Lines(strokes, Ink.MUTED, css=css))
        else:
            shapes.append(Dots(tuple(points), RADIUS, Ink.BRAND, css=css))
        if outcome == "not":
            shapes.append(Dots(tuple(points), RADIUS - 1.5, Ink.PAPER, css="sb-people__hole"))
    return Drawing(A_LINE * APART, lines * APART, "", "", tuple(shapes))
