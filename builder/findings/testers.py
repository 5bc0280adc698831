"""Who tested: a contributor's or a wearer's tests, newest first, and a contributor's references through time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import pandas as pd

from builder.findings.dataset import Dataset
from builder.fit.compare.methods import METHOD, Method
from builder.fit.compare.nested_scatter import ARM
from builder.fit.compare.reference_drift import ReferenceDrift, reference_drift

TesterRole = Literal["contributor", "wearer"]
MOST_REFERENCES = 3
"""Of one contributor: those with most days. Whoever has one reference has it there."""


@dataclass(frozen=True)
class Reference:
    """A mask on a face, measured the same way by one contributor on several days."""

    configuration: str
    wearer: str
    method: Method
    drift: ReferenceDrift


def rows_by_tester(data: Dataset, role: TesterRole) -> dict[str, pd.DataFrame]:
    """Give the rows of the tidy table of each contributor or wearer, the newest first."""
    # Of one day the later donning comes first, the tenth after the ninth.
    order = data.table.assign(_length=data.table["test"].str.len())
    order = order.sort_values(["date", "_length", "test"], ascending=False, kind="stable").drop(columns="_length")
    return {str(name): own for name, own in order.groupby(role, sort=True)}


def references(data: Dataset, own: pd.DataFrame) -> tuple[Reference, ...]:
    """Find what a contributor measured again on other days, most days first, and how it read on each.

    A set-up with a reading of “at least” is no reference: how far it moved cannot be told.
    """
    arms = own[own["counted"].astype(bool)].groupby([*ARM, "method"], sort=True)
    several = [(key, arm) for key, arm in arms if len(set(arm["date"])) > 1 and not arm["at_least"].any()]
    several.sort(key=lambda one: (-one[1]["date"].nunique(), -len(one[1]), one[0]))
    found = []
    for key, arm in several[:MOST_REFERENCES]:
        configuration, wearer = (str(part) for part in key[:2])
        method = Method(*(str(arm[name].iloc[0]) for name in METHOD))
        known = data.scatter.wearers.get(wearer, data.scatter.stranger)
        df = 1 / (1 / data.scatter.arm_df + 1 / known.df)
        drift = reference_drift(arm["date"].tolist(), arm["fit_factor"], known.variance, df)
        assert drift is not None  # it has several days
        found.append(Reference(configuration, wearer, method, drift))
    return tuple(found)
