"""Two sensors at once: against a known truth with sensors that differ."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.counts.counting import run_fit_factor
from builder.fit.counts.log_clock import Clock
from builder.fit.counts.run_log import Rows, RunLog, Stretch, read_log
from builder.fit.counts.run_result import run_result
from builder.fit.counts.sampled_air import MASK, PURGE, SAME_AIR, SWAPPED
from builder.fit.counts.two_sensors import sensor_phases, sensor_ratio

EXERCISES = ("", "talking", "bending-over")
Part = tuple[int, int, int, float, float]
"""Kind, exercise, seconds, and the true level in the mask and in the room."""


def log(parts: list[Part], inside: float = 1.0, outside: float = 1.0, *, concentration: bool = False) -> RunLog:
    """Make a log of two sensors that read so many times the truth. Both vary, and are right on the mean."""
    rows = []
    for kind, exercise, seconds, mask, room in parts:
        first, second = {SAME_AIR: (room, room), SWAPPED: (room, mask)}.get(kind, (mask, room))
        for row in range(seconds):
            varied = 1 + (-1) ** row * (row // 2 % 5 + 1) / 100 * (row < seconds // 2 * 2)
            rows.append((kind, exercise, first * inside * varied, second * outside * varied))
    kinds, exercises, amount, other = (np.array(column) for column in zip(*rows, strict=True))
    times = np.arange(1.0, len(rows) + 1)
    return read_log([Rows(times.astype(int) + 1, times, kinds, exercises, amount, concentration, None, other)])


RUN: list[Part] = [(MASK, 1, 30, 10, 1000), (PURGE, 0, 5, 7, 7), (MASK, 2, 30, 40, 2000)]
SAME: Part = (SAME_AIR, 0, 60, 1000, 1000)


def test_room_air_of_the_same_seconds_stands_beside_the_mask() -> None:
    result = run_result(log(RUN), EXERCISES)
    assert [one.result.fit_factor for one in result.fit.exercises] == pytest.approx([100, 50])
    assert result.fit.overall.fit_factor == pytest.approx(2 / (1 / 100 + 1 / 50))
    assert [(phase.kind, phase.seconds, phase.particles) for phase in result.phases[:3]] == [
        ("ambient", 15, 15_000),
        ("mask", 30, 300),
        ("ambient", 15, 15_000),
    ]
    assert result.warnings == (
        "The two sensors were not compared: what they differ by in the same air is in the fit factors. Let both sample "
        "room air for a minute, or swap them halfway.",
    )


@given(st.floats(0.2, 5), st.floats(0.2, 5), st.booleans())
def test_what_they_differ_by_in_the_same_air_is_taken_out(inside: float, outside: float, concentration: bool) -> None:
    run = log([SAME, *RUN], inside, outside, concentration=concentration)
    fit = run_result(run, EXERCISES).fit
    assert [one.result.fit_factor for one in fit.exercises] == pytest.approx([100, 50], rel=0.01)


@given(st.floats(0.2, 5), st.floats(0.2, 5))
def test_swapped_halfway(inside: float, outside: float) -> None:
    swapped = [(SWAPPED, *part[1:]) for part in RUN if part[0] == MASK]
    run = log([*RUN, *swapped], inside, outside)
    assert sensor_ratio(run) == pytest.approx(inside / outside)
    fit = run_result(run, EXERCISES).fit
    assert [one.result.fit_factor for one in fit.exercises] == pytest.approx([100, 50, 100, 50], rel=0.01)


def test_what_was_taken_out_is_said() -> None:
    [told] = run_result(log([SAME, *RUN], 0.8), EXERCISES).warnings
    assert told == (
        "In the same air the sensor inside reads ×0.8 of the one outside, which is taken out; how surely that is "
        "known is in the interval."
    )


def test_columns_that_are_exchanged() -> None:
    turned = log([(kind, exercise, seconds, room, mask) for kind, exercise, seconds, mask, room in RUN])
    assert run_result(turned, EXERCISES).warnings[-1] == (
        "The counts give a fit factor of 0.013: more particles in the mask than outside. Check which column is inside."
    )


def holds(random: np.random.Generator, *, swapped: bool) -> tuple[bool, bool]:
    """Whether the limits of a drawn run hold the truth, and whether those of its counts alone would."""
    ratio, fit_factor = 0.8, 100.0
    stretches = [] if swapped else [(SAME_AIR, 0, 400 * ratio, 400.0)]
    stretches += [(MASK, exercise, 30_000 / fit_factor * ratio, 30_000.0) for exercise in (1, 2)]
    if swapped:
        stretches[1] = (SWAPPED, 2, 30_000 * ratio, 30_000 / fit_factor)
    amounts = [(kind, exercise, *random.poisson((inside, outside))) for kind, exercise, inside, outside in stretches]
    made = tuple(
        Stretch(kind, exercise, 2, 0.0, 30.0, 30.0, float(inside), 0.0, float(outside))
        for kind, exercise, inside, outside in amounts
    )
    run = RunLog(made, True, Clock(), (), at_once=True)
    found = run_result(run, EXERCISES).fit.overall
    alone = run_fit_factor(sensor_phases(run, EXERCISES)).overall
    return found.low95 <= fit_factor <= found.high95, alone.low95 <= fit_factor <= alone.high95


@pytest.mark.parametrize(("swapped", "alone"), [(False, 0.8), (True, 1.0)])
def test_the_limits_hold_what_is_not_known_of_the_ratio(swapped: bool, alone: float) -> None:
    """95 % of them hold the truth; of those without it fewer do, where it does not cancel out."""
    random = np.random.default_rng(5)
    drawn = np.array([holds(random, swapped=swapped) for _ in range(1500)])
    covered = drawn.mean(axis=0)
    assert 0.935 < covered[0] < 0.975
    assert covered[1] < alone


def test_where_nothing_was_counted_in_the_mask_the_limit_falls() -> None:
    run = log([SAME, (MASK, 1, 30, 0, 1000)])
    found = run_result(run, EXERCISES).fit.overall
    alone = run_fit_factor(sensor_phases(run, EXERCISES)).overall
    assert found.at_least
    assert found.low95 == pytest.approx(alone.low95 * np.exp(-1.6449 * np.sqrt(2 / 60_000)), rel=1e-5)
