"""How the concentration ran over time, in a few hundred equal bins, however long the log is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

BINS = 600

SHORTEST_BIN_S = 1e-3


@dataclass(frozen=True)
class Level:
    """The mean level of one kind of air in a bin: the time of its middle, in seconds from the start of the log."""

    kind: int
    seconds: float
    level: float


class Trace:
    """Sums amounts and seconds in bins of equal width, a set for each kind of air. The width doubles when bins run out.

    `width` is the first width in seconds: the usual interval of the log, for then each row has a bin of its own.
    """

    def __init__(self, width: float, kinds: int, bins: int = BINS) -> None:
        self.width = max(width, SHORTEST_BIN_S)
        self.bins = bins
        self.amount = np.zeros((kinds, bins))
        self.seconds = np.zeros((kinds, bins))

    def add(
        self,
        middle: NDArray[np.float64],
        seconds: NDArray[np.float64],
        amount: NDArray[np.float64],
        kind: NDArray[np.int_],
    ) -> None:
        """Add rows by the middle of their interval, in seconds from the start of the log."""
        if not middle.size:
            return
        while middle.max() >= self.bins * self.width:
            self.width *= 2
            for sums in (self.amount, self.seconds):
                sums[:, : self.bins // 2] = sums[:, ::2] + sums[:, 1::2]
                sums[:, self.bins // 2 :] = 0
        place = (kind, (middle / self.width).astype(int))
        np.add.at(self.amount, place, amount)
        np.add.at(self.seconds, place, seconds)

    def levels(self) -> tuple[Level, ...]:
        """Give the bins in which something was sampled, kind by kind, in order of time."""
        kinds, bins = np.nonzero(self.seconds)
        level = self.amount[kinds, bins] / self.seconds[kinds, bins]
        middle = (bins + 0.5) * self.width
        return tuple(map(Level, kinds.tolist(), middle.tolist(), level.tolist()))
