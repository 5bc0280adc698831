import pytest

from builder.pictures.palette import Ink
from builder.pictures.shapes import Dots, Text
from builder.pictures.told_scores import BOTTOM, TOP, told_scores_picture

DRAWING = told_scores_picture(
    [("Model", [0.16, 0.12]), ("Mean", [0.2, 0.18])], across="Told", up="Score", title="T", description="D"
)


def test_scores_stand_at_their_height() -> None:
    model, mean = (shape for shape in DRAWING.shapes if isinstance(shape, Dots))
    assert (model.ink, mean.ink) == (Ink.CHANGED, Ink.MUTED)
    assert model.points[0][1] == pytest.approx(BOTTOM - 0.16 / 0.25 * (BOTTOM - TOP))
    assert mean.points[1][1] == pytest.approx(BOTTOM - 0.18 / 0.25 * (BOTTOM - TOP))
    assert model.points[0][0] == mean.points[0][0] < model.points[1][0]


def test_lines_and_axes_are_named() -> None:
    texts = [shape.text for shape in DRAWING.shapes if isinstance(shape, Text)]
    assert {"Model", "Mean", "Told", "Score", "0", "1", "0.25"} <= set(texts)
