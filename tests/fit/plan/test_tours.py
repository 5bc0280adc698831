"""Closed tours: everything once, one change at a time, also from the last back to the first."""

from __future__ import annotations

from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.plan.tours import closed_tour


@given(st.lists(st.integers(1, 5), min_size=1, max_size=4))
def test_every_place_once_and_one_change_at_a_time(sizes: list[int]) -> None:
    tour = closed_tour(sizes)
    assert sorted(tour) == list(product(*map(range, sizes)))
    assert tour[0] == (0,) * len(sizes)
    if len(tour) > 1:
        steps = zip(tour, [*tour[1:], tour[0]], strict=True)
        assert {sum(a != b for a, b in zip(one, other, strict=True)) for one, other in steps} == {1}


def test_the_reflected_code() -> None:
    assert closed_tour([2, 2, 2]) == [
        (0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0), (0, 1, 1), (1, 1, 1), (1, 0, 1), (0, 0, 1),
    ]  # fmt: skip


@pytest.mark.parametrize("sizes", [(2, 2, 2), (3, 2, 2), (2, 4, 2), (3, 4, 2)])
def test_later_places_change_less_often(sizes: tuple[int, ...]) -> None:
    tour = closed_tour(sizes)
    changed = [sum(one[place] != other[place] for one, other in pairwise(tour)) for place in range(len(sizes))]
    assert changed == sorted(changed, reverse=True)
