"""One mask on one face, again and again: whether a bench reads today as it did before.

Let a day d have n_d donnings of the same arm with mean m_d on ln FF, and let one donning scatter with variance v. If
nothing moved, m_d less the mean of all other days has variance v (1/n_d + 1/(N − n_d)), and Σ n_d (m_d − m)² / v over
D days follows (D − 1) F(D − 1, ν). v and ν are the database's for that wearer (`nested_scatter`): an arm of which
nothing else is known has 1/ν = 1/d₁ + 1/t_w. v holds what differs from day to day, too, so a bench that is called
moved has moved by more than people usually do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import fdtrc, stdtrit

from builder.fit.intervals import Interval
from builder.fit.levels import MOVED_P, SHOWN_LEVEL


@dataclass(frozen=True)
class ReferenceDay:
    """A day of a reference: its geometric mean over `donnings`, and its ratio to all other days."""

    date: str
    donnings: int
    level: float
    ratio: float
    interval: Interval


@dataclass(frozen=True)
class ReferenceDrift:
    """A reference day by day. `p` is the chance of days that differ so much where nothing moved."""

    days: tuple[ReferenceDay, ...]
    p: float

    @property
    def moved(self) -> bool:
        """Whether days differ by more than donnings do."""
        return self.p < MOVED_P

    @property
    def oddest(self) -> ReferenceDay:
        """The day that stands out most, for the scatter of its donnings; of two alike the newer."""
        return max(
            reversed(self.days), key=lambda day: abs(np.log(day.ratio)) / np.log(day.interval.high / day.interval.low)
        )


def reference_drift(dates: Sequence[str], fit_factors: ArrayLike, variance: float, df: float) -> ReferenceDrift | None:
    """Compare the days of one arm; None where there is one day alone.

    `dates` give the day of each exact reading in `fit_factors`; `variance` is that of one donning on ln FF, known with
    `df` degrees of freedom.
    """
    names, place = np.unique(np.asarray(dates, dtype=str), return_inverse=True)
    if len(names) < 2:
        return None
    ln = np.log(np.asarray(fit_factors, dtype=float))
    number = np.bincount(place)
    total, mean = number.sum(), np.bincount(place, ln) / number
    others = (ln.sum() - number * mean) / (total - number)
    error = np.sqrt(variance * (1 / number + 1 / (total - number)))
    reach = stdtrit(df, (1 + SHOWN_LEVEL) / 2) * error
    shift = mean - others
    days = tuple(
        ReferenceDay(str(name), int(n), float(level), float(ratio), Interval(float(low), float(high)))
        for name, n, level, ratio, low, high in zip(
            names, number, np.exp(mean), np.exp(shift), np.exp(shift - reach), np.exp(shift + reach), strict=True
        )
    )
    spread = float(number @ (mean - ln.mean()) ** 2) / variance / (len(names) - 1)
    return ReferenceDrift(days, float(fdtrc(len(names) - 1, df, spread)))
