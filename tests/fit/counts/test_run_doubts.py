"""What the readings of a log show: tails, a counter at its limit, too little room air."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from builder.fit.counts.run_log import NO_PURGE, Purge, Rows, RunLog, read_log
from builder.fit.counts.run_result import run_result
from builder.fit.counts.sampled_air import AMBIENT, MASK, PURGE

EXERCISES = ("", "talking", "grimace")
AIR = [1000.0 + (row % 7 - 3) * 9 for row in range(20)]
IN_MASK = [8.0, 10, 13, 9, 11, 10, 7, 12, 10, 10] * 3


def log(
    *parts: tuple[int, Sequence[float]], purge: Purge = NO_PURGE, concentration: bool = False, flow: float = 0.0
) -> RunLog:
    """Make a log with a row a second from kinds and readings."""
    kind = np.array([kind for kind, readings in parts for _ in readings])
    amount = np.array([reading for _, readings in parts for reading in readings], float)
    seconds = np.arange(1.0, amount.size + 1)
    exercise = np.where(kind == MASK, 1, 0)
    flows = np.full(amount.size, flow) if flow else None
    return read_log([Rows(seconds.astype(int) + 1, seconds, kind, exercise, amount, concentration, flows)], purge)


def warnings(run: RunLog) -> tuple[str, ...]:
    return run_result(run, EXERCISES).warnings


def test_a_sound_run_has_no_doubts() -> None:
    assert warnings(log((AMBIENT, AIR), (MASK, IN_MASK), (AMBIENT, AIR))) == ()


def test_the_tail_of_room_air_in_the_mask() -> None:
    run = (AMBIENT, AIR), (MASK, [400, 150, 60, 25, *IN_MASK]), (AMBIENT, AIR)
    assert warnings(log(*run)) == (
        "Too short a purge: the level still falls for up to 4 s at the start of mask, talking, from row 22. "
        "Drop more seconds after each switch to the mask.",
    )
    assert warnings(log(*run, purge=Purge(mask=4))) == ()


def test_the_tail_of_the_mask_in_room_air_is_told_once_for_all() -> None:
    slow = (AMBIENT, [100.0, 600, *AIR])
    run = log((AMBIENT, AIR), (MASK, IN_MASK), (PURGE, [5.0]), slow, (MASK, IN_MASK), slow)
    assert warnings(run) == (
        "Too short a purge: the level still rises for up to 2 s at the start of ambient, from row 53; ambient, "
        "from row 105. Drop more seconds after each switch to room air.",
    )


@pytest.mark.parametrize("seed", range(30))
def test_chance_is_no_tail(seed: int) -> None:
    random = np.random.default_rng(seed)
    air, mask = (random.poisson(level, rows).tolist() for level, rows in ((900, 20), (3, 30)))
    assert not [told for told in warnings(log((AMBIENT, air), (MASK, mask), (AMBIENT, air))) if "purge" in told]


def test_a_counter_at_its_limit() -> None:
    at_top = [500.0 if row % 2 else 440.0 + row for row in range(20)]
    assert warnings(log((AMBIENT, at_top), (MASK, IN_MASK), (AMBIENT, at_top))) == (
        "20 of 40 ambient readings are 500, and none is higher: the counter seems to be at its limit, and fit factors "
        "read too low. Check whether the counter was at its limit: thin the air, or give what was counted each time.",
    )
    same = [500.0] * 20
    assert warnings(log((AMBIENT, same), (MASK, IN_MASK), (AMBIENT, same))) == (
        "All 40 ambient readings hold the very same number, which room air never does. "
        "Check whether the counter was at its limit: thin the air, or give what was counted each time.",
    )
    few = [50.0] * 20
    assert warnings(log((AMBIENT, few), (MASK, IN_MASK), (AMBIENT, few))) == ()


def test_too_little_room_air_for_the_fit_factor() -> None:
    air, mask = [reading / 1000 for reading in AIR], [0.001, 0.002, 0.001] * 10
    [told] = warnings(log((AMBIENT, air), (MASK, mask), (AMBIENT, air), concentration=True))
    assert told == (
        "With 0.999 particles per cm³ of room air fewer than 3 are to be expected in the mask in half a minute where "
        "the fit factor is above 466; 749 came out. Count longer, or raise the ambient level."
    )
    assert "465" not in " ".join(
        warnings(log((AMBIENT, air), (MASK, mask), (AMBIENT, air), concentration=True, flow=50))
    )
