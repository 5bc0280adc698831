"""One wearer's evening with one mask: each change against it as sold, which part did it, and what one more would tell.

The takes of the evening, judged as the site judges them: by the scatter of the database and what methods differ by.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from builder.fit.compare.factorial import Factorial, all_factorials
from builder.fit.compare.ladders import Rung, ladder
from builder.fit.compare.measured_arms import UNIT, measured_arms
from builder.fit.compare.methods import METHOD, MethodEffects
from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.plan.one_more import ExactTakes, WorthIt, clear_limits, worth_it


@dataclass(frozen=True)
class JudgedChange:
    """A changed configuration against the mask as sold, and whether one more donning is worth it.

    `worth` is None where that cannot be said: with "at least" readings, or with more than one method of measuring.
    """

    rung: Rung
    worth: WorthIt | None


@dataclass(frozen=True)
class Evening:
    """What one wearer's takes of one mask tell.

    `changes` have the highest ratio first and are one list, as on the mask's page; empty before the mask was worn as
    sold. `parts` is None where no configuration has two changed parts.
    """

    mask: str
    changes: tuple[JudgedChange, ...]
    parts: Factorial | None


def evening(takes: pd.DataFrame, scatter: NestedScatter, effects: MethodEffects, slots: Sequence[str]) -> Evening:
    """Judge the takes of one `UNIT` (wearer, facial hair, mask), rows as in the tidy table; `slots` as in `arm_parts`.

    `effects` must know the levels of the takes' methods. ValueError for takes of more than one unit, or of none.
    """
    units = takes[UNIT].drop_duplicates()
    if len(units) != 1:
        raise ValueError(f"these are takes of {len(units)} wearers and masks, not of one")
    mask = str(units["mask"].iloc[0])
    arms = measured_arms(takes, scatter, effects)
    changed = {name: name.removeprefix(f"{mask}+") for name in arms.by_configuration if name != mask}
    rungs = ladder(mask, changed, arms)
    alone = [rung.comparison.wearers[0].p_value for rung in rungs]
    counted = takes[takes["counted"]]
    changes = tuple(
        JudgedChange(rung, _worth(counted, mask, rung.configuration, scatter, below))
        for rung, below in zip(rungs, clear_limits(alone), strict=True)
    )
    factorials = all_factorials(takes, arms, slots)
    return Evening(mask, changes, factorials[0] if factorials else None)


def _worth(
    counted: pd.DataFrame, mask: str, configuration: str, scatter: NestedScatter, clear_below: float
) -> WorthIt | None:
    pair = counted[counted["configuration"].isin([mask, configuration])]
    if pair["at_least"].any() or len(pair[METHOD].drop_duplicates()) > 1:
        return None
    a, b = (
        ExactTakes.of(pair.loc[pair["configuration"] == name, "fit_factor"].tolist()) for name in (mask, configuration)
    )
    wearer = scatter.wearers.get(str(pair["wearer"].iloc[0]), scatter.stranger)
    return worth_it(a, b, wearer, scatter.arm_df, clear_below=clear_below)
