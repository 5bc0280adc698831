"""Dots spread up and down."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from builder.pictures.swarm import STEP, spread


def test_groups_that_are_apart_share_the_first_level() -> None:
    assert spread([0, 10, 30, 40], ["a", "a", "b", "b"]) == [0, 0, 0, 0]


def test_groups_that_overlap_have_levels_of_their_own_up_and_down_by_turns() -> None:
    assert spread([0, 50, 10, 60, 20, 70], ["a", "a", "b", "b", "c", "c"]) == [0, 0, -STEP, -STEP, STEP, STEP]


def test_dots_of_a_group_that_would_hide_each_other_step_aside() -> None:
    first, second, third, far = spread([100, 100, 101, 150], ["a"] * 4)
    assert first == -second == third != 0
    assert far == 0


def test_too_many_overlapping_groups_are_spread_dot_by_dot() -> None:
    xs = [float(x) for group in range(20) for x in (group, 200 + group)]
    offsets = spread(xs, [group for group in range(20) for _ in range(2)])
    assert len(set(offsets)) < 20
    assert max(offsets) - min(offsets) < 12 * STEP


@given(st.lists(st.tuples(st.floats(0, 500), st.integers(0, 6)), max_size=60))
def test_no_dot_hides_one_of_another_group_and_rows_stay_low(dots: list[tuple[float, int]]) -> None:
    xs, groups = [x for x, _ in dots], [group for _, group in dots]
    offsets = spread(xs, groups)
    assert offsets == spread(xs, groups)
    assert all(abs(offset) < 6.5 * STEP for offset in offsets)
    at = list(zip(xs, offsets, groups, strict=True))
    for number, (x, y, group) in enumerate(at):
        for other_x, other_y, other in at[:number]:
            if group != other:
                assert abs(x - other_x) >= 9 or abs(y - other_y) >= STEP - 5


def test_nothing_is_spread_to_nothing() -> None:
    assert spread([], []) == []
