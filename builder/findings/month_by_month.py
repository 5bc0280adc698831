"""What each month's tests added, and which medians they moved, by the dates in the entries."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pandas as pd

from builder.fit.summary.censoring import grouped_medians


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


def month_by_month(counted: pd.DataFrame, most: int) -> list[MonthOfTests]:
    """Give the newest months with tests, at most `most`, newest first; `counted` has the tests that count."""
    months = counted["date"].astype(str).str[:7]
    newest = sorted(months.unique(), reverse=True)[:most]
    return [_month(month, counted, months) for month in newest]


def _month(month: str, counted: pd.DataFrame, months: pd.Series) -> MonthOfTests:
    own = counted[months == month]
    touched = counted[(months <= month) & counted["configuration"].isin(own["configuration"].unique())]
    after = _medians(touched).add_suffix("_after")
    before = _medians(touched[months.loc[touched.index] < month])
    added = own["configuration"].value_counts()
    both = after.join(before.add_suffix("_before"), how="inner")
    moved = [
        MovedMedian(
            str(configuration),
            int(added[str(configuration)]),
            float(row["value_before"]),
            bool(row["at_least_before"]),
            float(row["value_after"]),
            bool(row["at_least_after"]),
        )
        for configuration, row in both.iterrows()
        if (row["value_before"], row["at_least_before"]) != (row["value_after"], row["at_least_after"])
    ]
    return MonthOfTests(
        month,
        len(own),
        int(own["wearer"].nunique()),
        tuple(sorted(set(after.index) - set(before.index))),
        tuple(sorted(moved, key=lambda one: (-one.step, one.configuration))),
    )


def _medians(tests: pd.DataFrame) -> pd.DataFrame:
    places = tests["configuration"].astype("category")
    medians = grouped_medians(
        tests["fit_factor"].to_numpy(float),
        tests["at_least"].to_numpy(bool),
        places.cat.codes.to_numpy(np.intp),
        len(places.cat.categories),
    )
    return pd.DataFrame({"value": medians.value, "at_least": medians.at_least}, index=list(places.cat.categories))
