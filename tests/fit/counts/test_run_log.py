from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.counts.run_log import MOST_STRETCHES, Purge, Rows, RunLog, TooManyStretchesError, read_log
from builder.fit.counts.sampled_air import AMBIENT, MASK, PURGE

Row = tuple[float, int, int, float]
"""Seconds, kind, exercise, amount."""


def rows(table: Sequence[Row], first: int = 2, *, concentration: bool = False) -> Rows:
    seconds, kind, exercise, amount = (np.array(column) for column in zip(*table, strict=True))
    return Rows(
        np.arange(first, first + len(table)), seconds.astype(float), kind, exercise, amount.astype(float), concentration
    )


def by_second(*parts: tuple[int, int, int, float]) -> list[Row]:
    """Give a row a second from parts of seconds, kind, exercise, amount."""
    lines = [(kind, exercise, amount) for seconds, kind, exercise, amount in parts for _ in range(seconds)]
    return [(float(second), *line) for second, line in enumerate(lines, 1)]


def sums(log: RunLog) -> list[tuple[int, int, float, float]]:
    return [(s.kind, s.exercise, s.seconds, s.amount) for s in log.stretches]


RUN = by_second((20, AMBIENT, 0, 100), (5, PURGE, 0, 50), (30, MASK, 1, 2), (30, MASK, 2, 3), (10, AMBIENT, 0, 120))


def test_stretches_of_a_run() -> None:
    log = read_log([rows(RUN)])
    assert sums(log) == [(0, 0, 20, 2000), (2, 0, 0, 0), (1, 1, 30, 60), (1, 2, 30, 90), (0, 0, 10, 1200)]
    assert [(s.row, s.begin, s.end) for s in log.stretches][2] == (27, 25, 55)
    assert log.counted
    assert log.clock.usual == 1


@given(st.lists(st.integers(1, len(RUN) - 1), max_size=6))
def test_chunks_make_no_difference(cuts: list[int]) -> None:
    edges = [0, *sorted(set(cuts)), len(RUN)]
    chunks = [rows(RUN[a:b], first=2 + a) for a, b in pairwise(edges)]
    parted, whole = read_log(chunks, Purge(3, 5)), read_log([rows(RUN)], Purge(3, 5))
    assert parted.stretches == whole.stretches
    assert parted.levels == whole.levels


def test_purge_drops_the_first_seconds_after_the_line_was_switched() -> None:
    run = by_second((10, AMBIENT, 0, 100), (20, MASK, 1, 2), (20, MASK, 2, 2), (10, AMBIENT, 0, 100))
    log = read_log([rows(run)], Purge(ambient=4, mask=6.5))
    # Between two exercises the line stays where it is; an interval that the purge touches is dropped whole.
    assert [(s.seconds, s.purged) for s in log.stretches] == [(6, 4), (13, 7), (20, 0), (6, 4)]


def test_purge_takes_nothing_more_than_it_must_from_tenths_of_seconds() -> None:
    run = [(n / 10, MASK, 0, 1) for n in range(1, 101)]
    assert read_log([rows(run)], Purge(mask=3)).stretches[0].seconds == pytest.approx(7)


def test_concentrations_are_weighed_by_time() -> None:
    table = [(1.0, AMBIENT, 0, 100.0), (4.0, AMBIENT, 0, 200.0)]
    log = read_log([rows(table, concentration=True)])
    assert not log.counted
    assert sums(log) == [(0, 0, 4, 700)]


def test_flow_makes_counts_of_concentrations() -> None:
    seconds, level, flow = np.array([1.0, 4.0]), np.array([100.0, 200.0]), np.array([2.0, 1.5])
    nothing = np.zeros(2, int)
    log = read_log([Rows(np.array([2, 3]), seconds, nothing, nothing, level, concentration=True, flow=flow)])
    assert log.counted
    assert sums(log) == [(0, 0, 4, 100 * 1 * 2 + 200 * 3 * 1.5)]


def test_a_first_row_at_nought_only_marks_the_start() -> None:
    log = read_log([rows([(0, AMBIENT, 0, 999), (1, AMBIENT, 0, 5), (2, AMBIENT, 0, 6)])])
    assert sums(log) == [(0, 0, 2, 11)]
    assert not log.clock.no_start
    assert not log.clock.repeats.times


def test_a_clock_that_did_not_start_with_the_log_gives_the_first_row_the_usual_interval() -> None:
    begun = [(1.7e9 + second, *rest) for second, *rest in RUN]
    log = read_log([rows(begun)])  # type: ignore[arg-type]
    assert not log.clock.no_start
    assert sums(log) == sums(read_log([rows(RUN)]))


def test_without_a_usual_interval_it_costs_the_first_row() -> None:
    log = read_log([rows([(1020, AMBIENT, 0, 9), (1050, MASK, 1, 3), (1080, MASK, 2, 4), (1089, AMBIENT, 0, 900)])])
    assert log.clock.no_start == 2
    assert sums(log) == [(0, 0, 0, 0), (1, 1, 30, 3), (1, 2, 30, 4), (0, 0, 9, 900)]


def test_a_log_of_few_long_rows_has_no_usual_interval() -> None:
    log = read_log([rows([(20, AMBIENT, 0, 2000), (50, MASK, 1, 3), (80, MASK, 2, 4), (89, AMBIENT, 0, 900)])])
    assert sums(log) == [(0, 0, 20, 2000), (1, 1, 30, 3), (1, 2, 30, 4), (0, 0, 9, 900)]
    assert log.clock.usual == 0
    assert not log.clock.gaps.times


def test_after_a_gap_a_row_covers_the_usual_interval() -> None:
    run = [row for row in RUN if not 23 <= row[0] <= 27]
    log = read_log([rows(run)])
    assert (log.clock.gaps.times, log.clock.gaps.row, log.clock.gaps.most) == (1, 24, 6)
    assert sums(log)[2] == (1, 1, 28, 56)
    assert log.stretches[2].begin == 27


def test_rows_too_close_together_are_an_overlap() -> None:
    run = sorted([*RUN, (30.25, MASK, 1, 2.0)])
    log = read_log([rows(run)])
    assert (log.clock.overlaps.times, log.clock.overlaps.row) == (1, 32)
    assert sums(log)[2] == (1, 1, 30, 62)


def test_a_time_that_stands_still_or_goes_back_costs_its_row() -> None:
    stamps = [row[0] for row in RUN]
    stamps[30:] = [second - 10 for second in stamps[30:]]
    stamps[10] = stamps[9]
    log = read_log([rows([(second, *row[1:]) for second, row in zip(stamps, RUN, strict=True)])])
    assert (log.clock.repeats.times, log.clock.repeats.row) == (1, 12)
    assert (log.clock.backwards.times, log.clock.backwards.row, log.clock.backwards.most) == (1, 32, 9)
    assert sums(log)[2] == (1, 1, 29, 58)


def test_purged_rows_are_in_the_levels_apart() -> None:
    log = read_log([rows(RUN)], Purge(mask=10))
    assert sum(level.kind == PURGE for level in log.levels) == 15
    assert sum(level.kind == MASK for level in log.levels) == 50


def test_an_endless_change_of_phases_is_no_run() -> None:
    table = [(float(n), n % 2, 0, 1.0) for n in range(1, MOST_STRETCHES + 2)]
    assert len(read_log([rows(table[:-1])]).stretches) == MOST_STRETCHES
    with pytest.raises(TooManyStretchesError, match="more than 1000 times"):
        read_log([rows(table)])


def test_no_rows() -> None:
    assert read_log([]).stretches == ()


def test_rows_without_a_reading_count_for_no_time() -> None:
    missing = np.zeros(len(RUN), bool)
    missing[[3, 30]] = True
    log = read_log([replace(rows(RUN), missing=missing)])
    assert sums(log)[0] == (0, 0, 19, 1900)
    assert sums(log)[2] == (1, 1, 29, 58)


def test_a_clock_with_too_few_digits_parts_its_steps() -> None:
    """Four rows a second, stamped in seconds: each is a quarter of one."""
    sampled = [(AMBIENT, 0, 25.0)] * 80 + [(MASK, 1, 1.0)] * 120
    run = [(float(at // 4 + 1), kind, exercise, count) for at, (kind, exercise, count) in enumerate(sampled)]
    log = read_log([rows(run)])
    assert sums(log) == [(0, 0, 20, 2000), (1, 1, 30, 120)]
    assert log.clock.coarse
    assert (log.clock.repeats.times, log.clock.usual) == (150, 0.25)
    late = read_log([rows([(second + 5000, kind, exercise, count) for second, kind, exercise, count in run])])
    assert [s.seconds for s in late.stretches] == pytest.approx([20, 30])


def test_rows_that_tell_how_long_they_lasted_leave_gaps() -> None:
    table = rows([(20.0, AMBIENT, 0, 20_000), (61.0, MASK, 1, 600), (95.0, MASK, 2, 300)])
    log = read_log([replace(table, lengths=np.array([20.0, 30, 30]))])
    assert [(s.seconds, s.end) for s in log.stretches] == [(20, 20), (30, 61), (30, 95)]
    assert not log.clock.gaps.times
