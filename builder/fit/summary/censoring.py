"""Medians of readings of which some are only known to be "at least" their value (right-censored).

The survival curve is that of Kaplan & Meier, J. Am. Stat. Assoc. 1958;53:457–481. The browser computes the same
medians, so the steps are kept plain.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

# A curve that should be exactly one half misses it by rounding, at most by about 1e-16 for each factor in it.
_ROUNDING = 1e-9


@dataclass(frozen=True)
class SurvivalCurve:
    """The share of readings above each of the distinct exact values, which are in rising order."""

    times: NDArray[np.float64]
    survival: NDArray[np.float64]


@dataclass(frozen=True)
class Median:
    """A median, or where `at_least` its lower limit."""

    value: float
    at_least: bool


@dataclass(frozen=True)
class GroupedMedians:
    """One `Median` a group, as two arrays. A group without readings has NaN and False."""

    value: NDArray[np.float64]
    at_least: NDArray[np.bool_]


def kaplan_meier(values: ArrayLike, at_least: ArrayLike) -> SurvivalCurve:
    """The Kaplan–Meier curve of right-censored readings.

    `values` and `at_least` are of one length. An exact reading comes before an "at least" one of the same value.
    Raises ValueError for no readings, NaN, or arrays of different shapes.
    """
    readings, censored = _checked(values, at_least)
    times, exact = np.unique(readings[~censored], return_counts=True)
    # Readings not yet passed at each time; those censored at that very value are still among them.
    at_risk = readings.size - np.searchsorted(np.sort(readings), times, side="left")
    return SurvivalCurve(times, np.cumprod(1.0 - exact / at_risk, dtype=np.float64))


def median(values: ArrayLike, at_least: ArrayLike) -> Median:
    """The Kaplan–Meier median of right-censored readings; without censoring the ordinary median.

    - The curve falls below one half at an exact reading: that reading.
    - It stays at one half from one exact reading to the next: midway between the two.
    - It stays at one half and only "at least" readings follow: at least the reading where it got there.
    - It never falls to one half: at least the largest reading, up to which more than half survive.

    Arguments and errors as for `kaplan_meier`.
    """
    readings, censored = _checked(values, at_least)
    curve = kaplan_meier(readings, censored)
    reached = np.flatnonzero(curve.survival <= 0.5 + _ROUNDING)
    if reached.size == 0:
        return Median(float(readings.max()), at_least=True)
    first = reached[0]
    value = float(curve.times[first])
    if curve.survival[first] < 0.5 - _ROUNDING:
        return Median(value, at_least=False)
    if first + 1 == curve.times.size:
        return Median(value, at_least=True)
    return Median((value + float(curve.times[first + 1])) / 2, at_least=False)


def grouped_medians(
    values: NDArray[np.float64], at_least: NDArray[np.bool_], groups: NDArray[np.integer], n_groups: int
) -> GroupedMedians:
    """The `median` of each group, where `groups` numbers the group of each reading from 0 to `n_groups` − 1."""
    order = np.lexsort((values, groups))
    values, at_least, groups = values[order], at_least[order], groups[order]
    sizes = np.bincount(groups, minlength=n_groups)
    ends = np.cumsum(sizes)
    starts = ends - sizes
    filled = sizes > 0
    result = np.full(n_groups, np.nan)
    lower, upper = starts + (sizes - 1) // 2, starts + sizes // 2
    result[filled] = (values[lower[filled]] + values[upper[filled]]) / 2
    limits = np.bincount(groups[at_least], minlength=n_groups)
    censored = filled & (limits == sizes)
    result[censored] = values[ends[censored] - 1]
    # Only groups that hold both kinds of readings need the curve.
    for group in np.flatnonzero((limits > 0) & ~censored):
        members = slice(starts[group], ends[group])
        one = median(values[members], at_least[members])
        result[group], censored[group] = one.value, one.at_least
    return GroupedMedians(result, censored)


def _checked(values: ArrayLike, at_least: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    readings, censored = np.asarray(values, dtype=float), np.asarray(at_least, dtype=bool)
    if readings.ndim != 1 or readings.shape != censored.shape:
        raise ValueError("Each reading needs its own mark for being at least its value.")
    if readings.size == 0:
        raise ValueError("A median needs at least one reading.")
    if np.isnan(readings).any():
        raise ValueError("Readings must be numbers.")
    return readings, censored
