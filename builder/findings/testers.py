"""Who tested: a contributor's or a wearer's tests, newest first, and a contributor's references through time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Literal

from builder.findings.dataset import Dataset, Row
from builder.findings.made_once import made_once
from builder.fit.compare.methods import METHOD, Method
from builder.fit.compare.nested_scatter import ARM
from builder.fit.compare.reference_drift import ReferenceDrift, reference_drift
from builder.fit.compare.tester_levels import BesideOthers, levels_of_testers

TesterRole = Literal["contributor", "wearer"]
_SET_UP = itemgetter(*ARM, "method")
MOST_REFERENCES = 3
"""Of one contributor: those with most days. Whoever has one reference has it there."""


@dataclass(frozen=True)
class Reference:
    """A mask on a face, measured the same way by one contributor on several days."""

    configuration: str
    wearer: str
    method: Method
    drift: ReferenceDrift


@made_once
def rows_by_tester(data: Dataset, role: TesterRole) -> dict[str, list[Row]]:
    """Give the rows of the tidy table of each contributor or wearer, the newest first."""
    found: dict[str, list[Row]] = {name: [] for name in sorted({row[role] for row in data.rows})}
    # Of one day the later donning comes first, the tenth after the ninth.
    for row in sorted(data.rows, key=lambda row: (row["date"], len(row["test"]), row["test"]), reverse=True):
        found[row[role]].append(row)
    return found


@made_once
def levels_by_tester(data: Dataset) -> dict[str, BesideOthers]:
    """Compare each contributor with all others (`levels_of_testers`)."""
    return levels_of_testers(data.table)


def references(data: Dataset, own: Sequence[Row]) -> tuple[Reference, ...]:
    """Find what a contributor measured again on other days, most days first, and how it read on each.

    A set-up with a reading of “at least” is no reference: how far it moved cannot be told.
    """
    arms: dict[tuple[str, ...], list[Row]] = {}
    for row in own:
        if row["counted"]:
            arms.setdefault(_SET_UP(row), []).append(row)
    days = {key: len({row["date"] for row in arm}) for key, arm in arms.items()}
    several = [key for key, arm in arms.items() if days[key] > 1 and not any(row["at_least"] for row in arm)]
    found = []
    for key in sorted(several, key=lambda key: (-days[key], -len(arms[key]), key))[:MOST_REFERENCES]:
        arm = arms[key]
        configuration, wearer = arm[0]["configuration"], arm[0]["wearer"]
        method = Method(*(arm[0][name] for name in METHOD))
        known = data.scatter.wearers.get(wearer, data.scatter.stranger)
        df = 1 / (1 / data.scatter.arm_df + 1 / known.df)
        drift = reference_drift([row["date"] for row in arm], [row["fit_factor"] for row in arm], known.variance, df)
        assert drift is not None  # it has several days
        found.append(Reference(configuration, wearer, method, drift))
    return tuple(found)
