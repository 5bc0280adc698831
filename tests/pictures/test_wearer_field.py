"""The field of people: a mark each, shaped by what came of it, line by line."""

from __future__ import annotations

from itertools import product

from builder.pictures.shapes import Dots, Lines
from builder.pictures.wearer_field import A_LINE, APART, RADIUS, Seal, wearer_field


def test_each_person_has_one_mark_of_the_kind_and_group() -> None:
    seals: list[Seal] = ["fits", "fits", "fits", "fits", "not", "not", "unknown"]
    people = list(zip(seals, "aaabaab", strict=True))
    field = wearer_field(people)
    marks = {shape.css: shape for shape in field.shapes if isinstance(shape, Dots | Lines)}
    of = {css: len(shape.points if isinstance(shape, Dots) else shape.parts) for css, shape in marks.items()}
    assert of == {
        "sb-people__fits sb-people--a": 3,
        "sb-people__fits sb-people--b": 1,
        "sb-people__not sb-people--a": 2,
        "sb-people__hole": 2,
        "sb-people__unknown sb-people--b": 1,
    }
    # Shape tells as colour does: a disc, a ring, a line.
    assert isinstance(marks["sb-people__unknown sb-people--b"], Lines)


def test_marks_stand_apart_within_the_drawing() -> None:
    for n in (1, A_LINE, A_LINE + 1, 55):
        field = wearer_field([("fits", "a")] * n)
        (dots,) = field.shapes
        assert isinstance(dots, Dots)
        assert len(set(dots.points)) == n
        for (ax, ay), (bx, by) in product(dots.points, repeat=2):
            assert (ax, ay) == (bx, by) or abs(ax - bx) >= 2 * RADIUS or abs(ay - by) >= 2 * RADIUS
        assert max(x for x, _ in dots.points) + RADIUS <= field.width
        assert max(y for _, y in dots.points) + RADIUS <= field.height
        assert field.width == A_LINE * APART


def test_nobody_is_an_empty_field() -> None:
    assert wearer_field([]).shapes == ()
