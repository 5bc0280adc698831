"""Readings of each arm, method by method, and which parts it has: what parts are told apart from."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import pandas as pd

from builder.fit.compare.bridging import method_arms
from builder.fit.compare.like_with_like import MethodArm
from builder.fit.compare.limits import LimitedArm
from builder.fit.compare.methods import METHOD, Method, MethodEffects
from builder.fit.compare.nested_scatter import ARM, NestedScatter

UNIT = ["wearer", "facial_hair", "mask"]
"""What parts are told apart within: one face, one mask."""


class WornBy(NamedTuple):
    """A wearer with their facial hair: with other hair it is another face."""

    wearer: str
    facial_hair: str


@dataclass(frozen=True)
class MeasuredArms:
    """Readings of each method, by configuration, wearer and facial hair; scatter and what methods differ by."""

    readings: Mapping[tuple[str, str, str], Sequence[MethodArm]]
    scatter: NestedScatter
    effects: MethodEffects

    @cached_property
    def by_configuration(self) -> Mapping[str, Mapping[WornBy, Sequence[MethodArm]]]:
        """The readings of each configuration by face, both in order."""
        found: dict[str, dict[WornBy, Sequence[MethodArm]]] = {}
        for (configuration, wearer, hair), own in self.readings.items():
            found.setdefault(configuration, {})[WornBy(wearer, hair)] = own
        return found

    @cached_property
    def by_face(self) -> Mapping[WornBy, Mapping[str, Sequence[MethodArm]]]:
        """The readings of each face by configuration, both in order."""
        found: dict[WornBy, dict[str, Sequence[MethodArm]]] = {}
        for configuration, wearer, hair in sorted(self.readings, key=lambda key: (key[1], key[2], key[0])):
            own = self.readings[configuration, wearer, hair]
            found.setdefault(WornBy(wearer, hair), {})[configuration] = own
        return found


def measured_arms(table: pd.DataFrame, scatter: NestedScatter, effects: MethodEffects) -> MeasuredArms:
    """Every arm with tests that count, each sorted by method; one donning's variance is moderated."""
    arms = method_arms(table, scatter)
    limited = table[table["counted"]].merge(arms.loc[arms["any_at_least"], [*ARM, *METHOD]], on=[*ARM, *METHOD])
    with_limits = dict(iter(limited.groupby([*ARM, *METHOD], observed=True)))
    found: dict[tuple[str, str, str], list[MethodArm]] = {}
    columns = (arms[name].tolist() for name in (*ARM, *METHOD, "n", "mean", "moderated", "df"))
    for configuration, wearer, hair, *method, n, mean, variance, df in zip(*columns, strict=True):
        key = (configuration, wearer, hair)
        own = with_limits.get((*key, *method))
        readings = (
            LimitedArm(n, mean, (), variance)
            if own is None
            else LimitedArm.of(np.log(own["fit_factor"]), own["at_least"], variance)
        )
        found.setdefault(key, []).append(MethodArm(Method(*method), readings, float(df)))
    return MeasuredArms(found, scatter, effects)


def arm_parts(table: pd.DataFrame, slots: Sequence[str]) -> pd.DataFrame:
    """One row for each arm with tests that count: `ARM`, `mask` and the columns `slots`, sorted by `ARM`.

    `slots` are all columns of the table that name the part changed in a slot, "" as sold. ValueError where two
    configurations are alike in them: what they leave unsaid would be credited to the parts that they name.
    """
    columns = [*ARM, "mask", *slots]
    arms = table.loc[table["counted"], columns].drop_duplicates(ARM).sort_values(ARM, ignore_index=True)
    known = arms.drop_duplicates("configuration")
    alike = known[known.duplicated(["mask", *slots], keep=False)]
    if len(alike):
        first, second, *_ = alike.sort_values(["mask", *slots])["configuration"]
        raise ValueError(f"{first} and {second} are alike in every slot given: {', '.join(slots) or 'none'}")
    return arms
