"""A face with what wearers noticed."""

from __future__ import annotations

import math

from builder.pictures.leaking_face import HEIGHT, WIDTH, FacePlace, leaking_face
from builder.pictures.lettering import width
from builder.pictures.palette import Ink
from builder.pictures.shapes import Dot, Text

SHARES: dict[FacePlace, float] = {"nose": 1.0, "left-cheek": 0.25, "chin": 0.0, "right-cheek": math.nan, "eyes": 0.5}


def discs(shares: dict[FacePlace, float]) -> list[Dot]:
    drawing = leaking_face(shares, {}, "T", "D")
    return [shape for shape in drawing.shapes if isinstance(shape, Dot) and shape.ink is Ink.PASS]


def test_a_place_that_leaked_has_a_disc_and_no_other() -> None:
    nose, cheek = discs(SHARES)
    assert nose.radius > cheek.radius
    # The face looks at the reader.
    assert cheek.x > WIDTH / 2
    assert nose.x == WIDTH / 2


def test_discs_of_both_cheeks_mirror_each_other() -> None:
    left, right = discs({"left-cheek": 0.5, "right-cheek": 0.5})
    assert left.x - WIDTH / 2 == WIDTH / 2 - right.x
    assert (left.y, left.radius) == (right.y, right.radius)


def test_words_stay_within_the_picture() -> None:
    places: tuple[FacePlace, ...] = ("nose", "left-cheek", "right-cheek", "chin", "eyes", "glasses")
    drawing = leaking_face({}, dict.fromkeys(places, ("Touches the eyes", "10 of 10")), "T", "D")
    texts = [shape for shape in drawing.shapes if isinstance(shape, Text)]
    assert len(texts) == 2 * len(places)
    for text in texts:
        long = width(text.text, text.size)
        left = {"start": text.x, "middle": text.x - long / 2, "end": text.x - long}[text.anchor]
        assert left >= 0
        assert left + long <= WIDTH
        assert 0 < text.y < HEIGHT
