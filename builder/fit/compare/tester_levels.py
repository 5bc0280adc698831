"""How a tester's readings compare with those of others on the same masks, measured the same way.

On each configuration and method that a tester and others tested, the mean ln FF of each of its wearers is taken less
the mean over the others' wearers; each wearer's differences are averaged, and the wearers then. Faces differ, and a
tester often has few: what one wearer's average strays by is taken from all wearers of the database, and goes into the
interval

    SE² = s² (1/k + 1/h),   t with W − 1 degrees of freedom

with k wearers of the tester, h the harmonic mean of the numbers of others, W wearers in all. A level is of the bench
and of the faces it sees; only a difference that faces do not explain says something of the bench.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.special import stdtrit

from builder.fit.intervals import Interval
from builder.fit.levels import SHOWN_LEVEL

_KEY = ["configuration", "method"]


@dataclass(frozen=True)
class BesideOthers:
    """A tester's readings over those of others: the ratio, from how many set-ups and how many wearers of its own."""

    ratio: float
    interval: Interval
    set_ups: int
    wearers: int


def levels_of_testers(table: pd.DataFrame) -> dict[str, BesideOthers]:
    """Compare each contributor with all others, by its name; one without a set-up that others tested is left out.

    Takes exact readings that count from the tidy table's `configuration`, `method`, `wearer`, `contributor` and
    `fit_factor`.
    """
    used = table[table["counted"].astype(bool) & ~table["at_least"].astype(bool)]
    ln = used.assign(ln=np.log(used["fit_factor"].to_numpy(float)))
    arms = ln.groupby([*_KEY, "wearer", "contributor"], sort=True)["ln"].mean().reset_index()
    strays = arms["ln"] - arms.groupby(_KEY)["ln"].transform("mean")
    several = arms.groupby(_KEY)["wearer"].transform("nunique") > 1
    by_wearer = strays[several].groupby(arms.loc[several, "wearer"]).mean()
    if len(by_wearer) < 2:
        return {}
    spread = float(by_wearer.std(ddof=1))
    found = {}
    for name, own in arms.groupby("contributor", sort=True):
        others = arms[arms["contributor"] != name].groupby(_KEY)["ln"].agg(["mean", "size"])
        both = own.merge(others, left_on=_KEY, right_index=True)
        if both.empty:
            continue
        wearers = (both["ln"] - both["mean"]).groupby(both["wearer"]).mean()
        harmonic = len(both) / float((1 / both["size"]).sum())
        error = spread * math.sqrt(1 / len(wearers) + 1 / harmonic)
        reach = float(stdtrit(len(by_wearer) - 1, (1 + SHOWN_LEVEL) / 2)) * error
        centre = float(wearers.mean())
        found[str(name)] = BesideOthers(
            math.exp(centre),
            Interval(math.exp(centre - reach), math.exp(centre + reach)),
            len(both.groupby(_KEY)),
            len(wearers),
        )
    return found
