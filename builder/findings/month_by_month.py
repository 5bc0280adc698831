"""What each month's tests added, and which medians they moved, by the dates in the entries."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from builder.fit.summary.censoring import GroupedMedians, grouped_medians


@dataclass(frozen=True)
class MovedMedian:
    """A configuration tested before, its median then and with the month's tests; each with whether it is a limit."""

    configuration: str
    tests: int
    before: float
    before_at_least: bool
    after: float
    after_at_least: bool

    @property
    def step(self) -> float:
        """How far the median moved, as the ln of a ratio without sign."""
        return abs(math.log(self.after / self.before))


@dataclass(frozen=True)
class MonthOfTests:
    """A month ("2024-11") with tests that count, how many, by how many wearers, and what they changed."""

    month: str
    tests: int
    wearers: int
    first_tried: tuple[str, ...]
    """Configurations nobody had tested before, by id."""
    moved: tuple[MovedMedian, ...]
    """Medians that moved, the one that moved most first."""


@dataclass(frozen=True)
class _Tests:
    """Tests in columns: their months, wearers and readings, and the place of each one's configuration in `names`."""

    month: NDArray[np.str_]
    wearer: NDArray[np.str_]
    names: NDArray[np.str_]
    place: NDArray[np.intp]
    fit_factor: NDArray[np.float64]
    at_least: NDArray[np.bool_]

    def in_each(self, chosen: NDArray[np.bool_]) -> NDArray[np.intp]:
        """How many of the chosen tests each configuration has."""
        return np.bincount(self.place[chosen], minlength=len(self.names))

    def medians(self, chosen: NDArray[np.bool_]) -> GroupedMedians:
        """The median of each configuration over the chosen tests."""
        columns = self.fit_factor[chosen], self.at_least[chosen], self.place[chosen]
        return grouped_medians(*columns, len(self.names))


def month_by_month(counted: pd.DataFrame, most: int) -> list[MonthOfTests]:
    """Give the newest months with tests, at most `most`, newest first; `counted` has the tests that count."""
    names, place = np.unique(_words(counted["configuration"]), return_inverse=True)
    tests = _Tests(
        np.array([date[:7] for date in _words(counted["date"]).tolist()], dtype=str),
        _words(counted["wearer"]),
        names,
        place,
        counted["fit_factor"].to_numpy(float),
        counted["at_least"].to_numpy(bool),
    )
    newest = sorted(set(tests.month.tolist()), reverse=True)[:most]
    return [_month(month, tests) for month in newest]


def _words(column: pd.Series) -> NDArray[np.str_]:
    return np.array(column.tolist(), dtype=str)


def _month(month: str, tests: _Tests) -> MonthOfTests:
    own, earlier = tests.month == month, tests.month < month
    added, known = tests.in_each(own), tests.in_each(earlier)
    touched = (added > 0)[tests.place]
    before, after = tests.medians(touched & earlier), tests.medians(touched & (earlier | own))
    moved = [
        MovedMedian(
            str(tests.names[number]),
            int(added[number]),
            float(before.value[number]),
            bool(before.at_least[number]),
            float(after.value[number]),
            bool(after.at_least[number]),
        )
        for number in np.flatnonzero((added > 0) & (known > 0))
        if (before.value[number], before.at_least[number]) != (after.value[number], after.at_least[number])
    ]
    return MonthOfTests(
        month,
        int(own.sum()),
        len(set(tests.wearer[own].tolist())),
        tuple(tests.names[(added > 0) & (known == 0)].tolist()),
        tuple(sorted(moved, key=lambda one: (-one.step, one.configuration))),
    )
