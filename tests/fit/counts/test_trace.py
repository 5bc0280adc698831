import numpy as np
import pytest

from builder.fit.counts.trace import BINS, Trace


def test_each_row_has_a_bin_of_its_own_while_they_suffice() -> None:
    trace = Trace(width=1, kinds=2)
    trace.add(np.array([0.5, 1.5, 2.5]), np.ones(3), np.array([10.0, 20.0, 0.0]), np.array([0, 1, 0]))
    assert [(level.kind, level.seconds, level.level) for level in trace.levels()] == [
        (0, 0.5, 10),
        (0, 2.5, 0),
        (1, 1.5, 20),
    ]


def test_bins_grow_and_keep_the_sums() -> None:
    trace = Trace(width=1, kinds=1)
    rng = np.random.default_rng(1)
    rows = 5 * BINS
    amount = rng.integers(0, 100, rows).astype(float)
    for chunk in np.array_split(np.arange(rows), 7):
        trace.add(chunk.astype(np.float64) + 0.5, np.ones(chunk.size), amount[chunk], np.zeros(chunk.size, int))
    levels = trace.levels()
    assert trace.width == 8
    assert len(levels) == rows / 8 <= BINS
    assert trace.amount.sum() == amount.sum()
    assert levels[3].level == pytest.approx(amount[24:32].mean())
    assert levels[3].seconds == 28


def test_a_width_of_nothing_does_no_harm() -> None:
    trace = Trace(width=0, kinds=1)
    trace.add(np.array([1e11]), np.ones(1), np.ones(1), np.zeros(1, int))
    trace.add(np.array([]), np.array([]), np.array([]), np.array([], int))
    assert len(trace.levels()) == 1
