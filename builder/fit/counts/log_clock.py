"""The clock of a log: its usual step, and what is irregular in it."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

# What a regular log is, and what is irregular in it: common practice, no published source. Rows are regular where three
# in four of 20 or more intervals lie within a quarter of the median one; then one half as long again is a gap, and one
# half as long or less an overlap. A first row more than ten intervals after 0 was stamped by a clock that did not start
# with the log. Where three in ten rows have the time of the row before, the clock has too few digits.
REGULAR_ROWS, REGULAR_SHARE, REGULAR_WITHIN = 20, 0.75, 0.25
GAP, OVERLAP, FIRST_ROW = 1.5, 0.5, 10.0
COARSE_SHARE = 0.3


@dataclass
class Irregular:
    """How often something was irregular in the clock, the first row where it was, and by how many seconds at most."""

    times: int = 0
    row: int = 0
    most: float = 0.0

    def note(self, rows: NDArray[np.int_], seconds: NDArray[np.float64]) -> None:
        """Count some rows."""
        if rows.size:
            self.row = self.row or int(rows[0])
            self.times += rows.size
            self.most = max(self.most, float(seconds.max()))


@dataclass
class Clock:
    """What was irregular in the times. `usual` is the usual interval in seconds, 0 where rows have none.

    `coarse`: so many rows have the time of the row before that the clock has too few digits for them.

    `no_start` is the first row where its stamp does not count from the start of the log and rows have no usual
    interval: its own is unknown.
    """

    usual: float = 0.0
    no_start: int = 0
    coarse: bool = False
    gaps: Irregular = field(default_factory=Irregular)
    overlaps: Irregular = field(default_factory=Irregular)
    repeats: Irregular = field(default_factory=Irregular)
    backwards: Irregular = field(default_factory=Irregular)


def usual_step(steps: NDArray[np.float64]) -> tuple[float, float]:
    """Give the median of the intervals, and again if most are about as long, else 0."""
    steps = steps[steps > 0]
    if not steps.size:
        return 0.0, 0.0
    typical = float(np.median(steps))
    alike = np.mean(np.abs(steps - typical) <= REGULAR_WITHIN * typical)
    return typical, typical if steps.size >= REGULAR_ROWS and alike >= REGULAR_SHARE else 0.0


def spread_steps(steps: NDArray[np.float64]) -> NDArray[np.float64]:
    """Part each step among its row and those behind it that have the same time."""
    starts = np.flatnonzero(steps != 0)
    if not starts.size:
        return steps
    lengths = np.diff(np.append(starts, steps.size))
    spread = steps.copy()
    spread[starts[0] :] = np.repeat(steps[starts] / lengths, lengths)
    return spread
