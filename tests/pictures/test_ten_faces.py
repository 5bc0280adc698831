"""Ten faces: as many filled as a chance says."""

from __future__ import annotations

from collections import Counter

import pytest

from builder.pictures.shapes import Dot
from builder.pictures.ten_faces import ten_faces


@pytest.mark.parametrize("halves", range(21))
def test_faces_are_filled_from_the_first(halves: int) -> None:
    names = [shape.css for shape in ten_faces(halves).shapes if isinstance(shape, Dot)]
    whole, half = divmod(halves, 2)
    counted = Counter({"sb-ten__fits": whole, "sb-ten__half": half, "sb-ten__other": 10 - whole - half})
    assert +Counter(names) == +counted
    assert names == sorted(names, key=["sb-ten__fits", "sb-ten__half", "sb-ten__other"].index)
