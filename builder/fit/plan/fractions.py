"""Which combinations of parts to test on one mask: all of them, or a regular half, and what those cannot tell apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from builder.fit.arrays import FloatArray
from builder.fit.compare.linear import row_space

AS_SOLD = ""
"""The option of a slot that is left as sold."""

Combination = tuple[str, ...]
"""One option for each factor, in their order."""

EffectParts = tuple[str, ...]
"""One part: its own effect. Two parts: what they do together beyond the product of their effects."""

FEWEST_TO_HALVE = 3
"""Half of the combinations of two parts tells nothing: both would always be fitted together."""


@dataclass(frozen=True)
class Factor:
    """A slot that varies: the parts to try in it beside as sold, and which of them cannot be undone."""

    slot: str
    parts: tuple[str, ...]
    lasting: frozenset[str] = frozenset()

    @property
    def options(self) -> tuple[str, ...]:
        """As sold, then the parts."""
        return (AS_SOLD, *self.parts)

    @property
    def two_level(self) -> bool:
        """Whether there is one part beside as sold."""
        return len(self.parts) == 1


def configurations(factors: Sequence[Factor], half: bool = False) -> tuple[Combination, ...]:
    """Every combination of the factors' options, the last factor's changing fastest; as sold comes first.

    `half` keeps those with an even number of parts among the slots of one part: the regular half fraction that
    holds as sold (Box, Hunter & Hunter, Statistics for Experimenters, chapter 6). ValueError where these are too few.
    """
    everything = tuple(product(*(factor.options for factor in factors)))
    if not half:
        return everything
    halved = [number for number, factor in enumerate(factors) if factor.two_level]
    if len(halved) < FEWEST_TO_HALVE:
        raise ValueError(
            f"a half needs at least {FEWEST_TO_HALVE} slots with one part each to vary, and there are {len(halved)}"
        )
    return tuple(chosen for chosen in everything if sum(chosen[number] != AS_SOLD for number in halved) % 2 == 0)


def main_effects(factors: Sequence[Factor], chosen: Sequence[Combination]) -> FloatArray:
    """Columns that estimate each part's effect against as sold: ones, then 1 where a part is fitted."""
    fitted = [
        [configuration[number] == part for configuration in chosen]
        for number, factor in enumerate(factors)
        for part in factor.parts
    ]
    return np.column_stack([np.ones(len(chosen)), *np.array(fitted, dtype=np.float64)])


def aliases(factors: Sequence[Factor], chosen: Sequence[Combination]) -> tuple[tuple[EffectParts, ...], ...]:
    """Groups of effects that these configurations cannot tell apart; interactions of three parts are left out.

    Each part is coded against as sold as +1 and −1, for which the entangled columns of a regular fraction are
    exactly those of one group.
    """
    effects: list[EffectParts] = []
    columns: list[FloatArray] = []
    slots: list[int] = []
    for number, factor in enumerate(factors):
        options = np.array([configuration[number] for configuration in chosen])
        for part in factor.parts:
            effects.append((part,))
            columns.append((options == part).astype(np.float64) - (options == AS_SOLD))
            slots.append(number)
    for first, second in combinations(range(len(slots)), 2):
        if slots[first] != slots[second]:
            effects.append(effects[first] + effects[second])
            columns.append(columns[first] * columns[second])
    space = row_space(np.column_stack([np.ones(len(chosen)), *columns]))[1:, 1:]
    entangled = np.abs(space) > 1e-7
    groups = {tuple(np.flatnonzero(row)) for row in entangled if row.sum() > 1}
    return tuple(tuple(effects[column] for column in group) for group in sorted(groups))
