"""How far predictions miss after somebody told none, one, two and three of their own results: a line each way."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from builder.pictures.chart_frame import AXIS, WIDTH, level_label
from builder.pictures.palette import Ink
from builder.pictures.shapes import Dots, Drawing, Line, Shape, Text

LEFT, RIGHT, TOP, BOTTOM = 62, WIDTH - 170, 34, 200
HEIGHT = BOTTOM + AXIS
_LETTERS = 12
_STEP = 0.05
INKS = (Ink.CHANGED, Ink.MUTED)


def told_scores_picture(
    ways: Sequence[tuple[str, Sequence[float]]], *, across: str, up: str, title: str, description: str
) -> Drawing:
    """Draw one line for each of two named ways of predicting, a score for each number of results told, from none on."""
    top = _STEP * (1 + int(max(score for _, scores in ways for score in scores) / _STEP))
    shapes: list[Shape] = [Text(0, 10, up, _LETTERS, Ink.MUTED)]
    for tick in range(round(top / _STEP) + 1):
        y = _y(tick * _STEP, top)
        shapes += [
            Line((LEFT, y), (RIGHT, y), Ink.LINE, 1),
            Text(0, y + 4, f"{tick * _STEP:.2f}", _LETTERS, halo=True),
        ]
    count = len(ways[0][1])
    for told in range(count):
        shapes.append(level_label(_x(told, count), BOTTOM + 16, str(told)))
    shapes.append(Text(RIGHT, BOTTOM + 36, across, _LETTERS, Ink.MUTED, "end"))
    for (name, scores), ink in zip(ways, INKS, strict=True):
        points = tuple((_x(told, count), _y(score, top)) for told, score in enumerate(scores))
        shapes += [Line(start, end, ink, 2) for start, end in pairwise(points)]
        shapes += [Dots(points, 4, ink, edged=True), Text(RIGHT + 10, points[-1][1] + 4, name, _LETTERS, ink)]
    return Drawing(WIDTH, HEIGHT, title, description, tuple(shapes))


def _x(told: int, count: int) -> float:
    return LEFT + 10 + told * (RIGHT - LEFT - 20) / max(count - 1, 1)


def _y(score: float, top: float) -> float:
    return BOTTOM - score / top * (BOTTOM - TOP)
