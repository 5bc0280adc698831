"""A schedule is laid on the steps of a log."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.counts.sampled_air import AMBIENT, MASK, PURGE
from builder.fit.counts.schedule import POOR_FIT, PlannedPhase, RunSchedule, ScheduleCut, lay
from builder.fit.counts.trace import Level

RUN = RunSchedule(
    (
        PlannedPhase(AMBIENT, 0, 20),
        PlannedPhase(PURGE, 0, 11),
        PlannedPhase(MASK, 1, 30),
        PlannedPhase(MASK, 2, 30),
        PlannedPhase(PURGE, 0, 4),
        PlannedPhase(AMBIENT, 0, 9),
    )
)
AIR, IN_MASK = 1000.0, 5.0


def levels(*parts: tuple[int, float], width: float = 1.0) -> list[Level]:
    """Give a level a bin from parts of bins and their level."""
    values = [level for bins, level in parts for _ in range(bins)]
    return [Level(0, (number + 0.5) * width, level) for number, level in enumerate(values)]


def run(before: int = 0, start: int = 20, end: int = 9, after: int = 0, in_mask: float = IN_MASK) -> list[Level]:
    """Give a run whose hose breathes the mask from the switch on, with some seconds of room air around it."""
    return levels((before + start, AIR), (71, in_mask), (4 + end + after, AIR))


def test_a_log_that_starts_with_the_schedule_is_not_shifted() -> None:
    assert lay(RUN, run(), 1.0) == ScheduleCut(RUN, 0.0, 0.0)


@given(st.integers(0, 200), st.integers(0, 100), st.sampled_from([0.0, 1.0, 30.0, 300.0]))
def test_one_that_starts_late_is_shifted_to_the_step(before: int, after: int, in_mask: float) -> None:
    cut = lay(RUN, run(before, after=after, in_mask=in_mask), 1.0)
    assert cut.shift == before
    assert cut.wrong == pytest.approx(0, abs=1e-9)


@given(st.integers(1, 20))
def test_a_log_that_begins_within_the_first_room_air(start: int) -> None:
    assert lay(RUN, run(start=start), 1.0).shift == start - 20


def test_a_falling_tail_stays_in_the_purge() -> None:
    tail = [(1, 700.0), (1, 400.0), (1, 150.0), (1, 60.0), (1, 20.0)]
    log = levels((27, AIR), *tail, (66, IN_MASK), (4, 400.0), (9, AIR))
    assert lay(RUN, log, 1.0).shift == 7


def test_counts_scatter_and_the_step_is_still_found() -> None:
    random = np.random.default_rng(5)
    for before in range(0, 80, 7):
        values = [Level(0, level.seconds, float(random.poisson(level.level / 2))) for level in run(before, after=30)]
        assert lay(RUN, values, 1.0).shift == before


def test_bins_of_other_widths() -> None:
    assert lay(RUN, levels((60, AIR), (142, IN_MASK), (40, AIR), width=0.5), 0.5).shift == 10


def test_a_schedule_of_something_else_fits_poorly() -> None:
    assert lay(RUN, levels((40, AIR), (10, IN_MASK), (100, AIR)), 1.0).wrong > POOR_FIT
    assert lay(RUN, levels((100, AIR)), 1.0).wrong > POOR_FIT
    assert lay(RUN, run(), 1.0).wrong < POOR_FIT


def test_rows_across_a_switch_and_outside_are_purge() -> None:
    cut = ScheduleCut(RUN, 10.0, 0.0)
    begin = np.array([0.0, 10, 29, 29.5, 31, 41, 70.6, 101, 114])
    kind, exercise = cut.of(begin, begin + 1)
    assert kind.tolist() == [PURGE, AMBIENT, AMBIENT, PURGE, PURGE, MASK, MASK, PURGE, PURGE]
    assert exercise.tolist() == [0, 0, 0, 0, 0, 1, 2, 0, 0]
