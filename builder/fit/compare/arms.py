"""The tests of one configuration on one wearer, summed up.

An arm with an "at least" reading takes every limit at its value. Each is no more than what it stands for, so the
arm's mean is a lower limit of the true one. What such readings scatter says nothing, so the arm brings no
variance of its own and rests on the scatter of its wearer.
"""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.compare.scatter import ARM

UNIT = ["wearer", "facial_hair", "mask"]
"""What parts are told apart within: one face, one mask."""


def arm_statistics(table: pd.DataFrame, scatter: NestedScatter, beside: Sequence[str] = ()) -> pd.DataFrame:
    """One row for each configuration × wearer × facial hair with tests that count, sorted by these.

    Columns: `configuration`, `wearer`, `facial_hair`; `n` tests, `mean` and `variance` of ln FF, `df` of that variance
    (0 and 0.0 for a single test or any "at least" reading), `any_at_least`; `moderated`, the variance of one donning
    as `nested_scatter` has it. Columns named in `beside`, constant within a configuration, are carried along.
    """
    counted = table[table["counted"]]
    keys = [*ARM, *beside]
    groups = counted.assign(y=np.log(counted["fit_factor"])).groupby(keys, observed=True)
    arms = groups.agg(n=("y", "size"), mean=("y", "mean"), variance=("y", "var"), any_at_least=("at_least", "any"))
    arms = arms.reset_index()
    arms["any_at_least"] = arms["any_at_least"].astype(bool)
    arms["df"] = np.where(arms["any_at_least"], 0, arms["n"] - 1)
    arms["variance"] = np.where(arms["df"] > 0, arms["variance"], 0.0)
    arms["moderated"] = scatter.moderated(arms["variance"], arms["df"], arms["wearer"].tolist())
    return arms


def arms_with_slots(table: pd.DataFrame, scatter: NestedScatter, slots: Sequence[str]) -> pd.DataFrame:
    """The rows of `arm_statistics` with `mask` and the columns `slots` beside.

    `slots` are all columns of the table that name the part changed in a slot, "" as sold. ValueError where two
    configurations are alike in them: what they leave unsaid would be credited to the parts that they name.
    """
    arms = arm_statistics(table, scatter, ["mask", *slots])
    known = arms.drop_duplicates("configuration")
    alike = known[known.duplicated(["mask", *slots], keep=False)]
    if len(alike):
        first, second, *_ = alike.sort_values(["mask", *slots])["configuration"]
        raise ValueError(f"{first} and {second} are alike in every slot given: {', '.join(slots) or 'none'}")
    return arms
