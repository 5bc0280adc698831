"""Rows of a log that are not in order of the time of their ends."""

from __future__ import annotations

import numpy as np
import pytest

from builder.fit.counts.run_log import Rows
from builder.records.logs.log_layout import LogLayout
from builder.records.logs.log_order import in_order
from builder.records.logs.log_sample import LogColumn
from builder.records.logs.log_words import Role


def ordered(
    seconds: list[float],
    *roles: Role,
    lengths: list[float] | None = None,
    newest_first: bool = False,
    clock: bool = False,
    pieces: int = 1,
) -> tuple[list[float], list[int]]:
    """Give the times and numbers of rows as they come out."""
    layout = LogLayout(
        ",", 1, 1, [*roles], {role: LogColumn(0, role) for role in roles}, clock=clock, newest_first=newest_first
    )
    chunks = []
    for part in np.array_split(np.arange(len(seconds)), pieces):
        same = np.zeros(part.size, int)
        chunks.append(
            Rows(
                part + 2,
                np.array(seconds)[part],
                same,
                same,
                same.astype(float),
                dated=not clock,
                lengths=None if lengths is None else np.array(lengths)[part],
            )
        )
    found = list(in_order(chunks, layout))
    return [float(t) for rows in found for t in rows.seconds], [int(n) for rows in found for n in rows.number]


@pytest.mark.parametrize("pieces", [1, 2, 5])
def test_each_row_ends_where_the_next_one_starts(pieces: int) -> None:
    times, numbers = ordered([100, 101, 102, 110, 111], "start", pieces=pieces)
    assert times == [1, 2, 10, 11, 12]
    assert numbers == [2, 3, 4, 5, 6]


def test_a_row_with_its_start_and_length() -> None:
    assert ordered([50, 80, 120], "start", "duration", lengths=[20, 30, 9])[0] == [20, 60, 79]


@pytest.mark.parametrize("pieces", [1, 3])
def test_the_newest_row_first(pieces: int) -> None:
    times, numbers = ordered([5, 4, 3, 2, 1], "seconds", newest_first=True, pieces=pieces)
    assert (times, numbers) == ([1, 2, 3, 4, 5], [6, 5, 4, 3, 2])
    assert ordered([1, 0, 86_399, 86_398], "seconds", newest_first=True, clock=True, pieces=pieces)[0] == [
        86_398,
        86_399,
        86_400,
        86_401,
    ]
