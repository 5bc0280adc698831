"""Two limits of something that is not known exactly."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Interval:
    """Two limits, `low` ≤ `high`, in the unit of what they bound."""

    low: float
    high: float
