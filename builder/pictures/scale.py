"""The axis of a picture: where a value stands on a log scale."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class LogScale:
    """A log axis with `low` at `left` and `high` at `right`."""

    low: float
    high: float
    left: float
    right: float

    @cached_property
    def _length(self) -> float:
        return math.log(self.high / self.low)

    def x(self, value: float) -> float:
        """Place a value; what lies beyond the axis stands at its end."""
        share = math.log(min(max(value, self.low), self.high) / self.low) / self._length
        return round(self.left + share * (self.right - self.left), 1)


def powers_of_ten(top: float) -> list[float]:
    """Give the powers of ten from 1 to `top`, which is one itself."""
    return [10.0**power for power in range(round(math.log10(top)) + 1)]


def covering(highest: float) -> float:
    """Choose the smallest power of ten, at least 1,000, that holds a value; 1,000 for none (NaN)."""
    return 1000.0 if math.isnan(highest) else 10.0 ** max(3, math.ceil(math.log10(max(highest, 1.0))))
