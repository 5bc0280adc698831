"""Ten small faces, of which as many wear a mask that fits as a chance says: what "7 of 10 people" looks like.

The style sheet paints it; the scripts draw the same.
"""

from __future__ import annotations

from builder.pictures.palette import Ink
from builder.pictures.shapes import Dot, Drawing, Mark, Shape

APART, HEIGHT, RADIUS = 22, 20, 8
_MASK = ((-7, 0.5), (-2.5, -1), (0, -2.5), (2.5, -1), (7, 0.5), (4.5, 5.5), (0, 7), (-4.5, 5.5))
"""The outline of a mask around the middle of a face."""


def ten_faces(halves: int) -> Drawing:
    """Draw ten faces, the first half of `halves` filled, 0 to 20; an odd one leaves the last of these half filled."""
    shapes: list[Shape] = []
    for place in range(10):
        filled = min(2, max(0, halves - 2 * place))
        x = place * APART + APART / 2
        css = ("sb-ten__other", "sb-ten__half", "sb-ten__fits")[filled]
        shapes.append(Dot(x, HEIGHT / 2, RADIUS, Ink.BRAND, css=css))
        shapes.append(Mark(x, HEIGHT / 2, _MASK, Ink.PAPER, css="sb-ten__mask"))
    return Drawing(10 * APART, HEIGHT, "", "", tuple(shapes))
