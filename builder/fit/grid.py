"""The configurations of one mask tried on one wearer, as a grid of slots and their options."""

from dataclasses import dataclass
from itertools import combinations
from math import prod

import numpy as np
import pandas as pd

from builder.fit.arms import SLOTS
from builder.fit.scatter import FloatArray


@dataclass(frozen=True)
class Grid:
    """Cells of exact tests: their `configuration`, mean ln FF `y` and `n` donnings.

    `options` lists, for each slot that varies, what was tried in it, the reference first: as sold where that was
    tried. `columns` are the other options as (slot, option); `fitted` says, cells × columns, which cell holds which.
    """

    configuration: tuple[str, ...]
    y: FloatArray
    n: FloatArray
    options: dict[str, tuple[str, ...]]
    columns: tuple[tuple[str, str], ...]
    fitted: FloatArray

    @classmethod
    def of(cls, arms: pd.DataFrame) -> "Grid":
        """The grid of rows of `arm_statistics` with `SLOTS` beside; one wearer, one mask."""
        tried = {slot: tuple(sorted(set(arms[slot]))) for slot in SLOTS}
        options = {slot: choice for slot, choice in tried.items() if len(choice) > 1}
        columns = tuple((slot, option) for slot, choice in options.items() for option in choice[1:])
        fitted = [arms[slot].to_numpy() == option for slot, option in columns]
        return cls(
            tuple(arms["configuration"]),
            arms["mean"].to_numpy(np.float64),
            arms["n"].to_numpy(np.float64),
            options,
            columns,
            np.array(fitted, dtype=np.float64).reshape(len(columns), len(arms)).T,
        )

    @property
    def complete(self) -> bool:
        """Whether each combination of the options was tried."""
        return len(self.configuration) == prod(len(tried) for tried in self.options.values())

    @property
    def design(self) -> FloatArray:
        """A column of ones for the reference, then one for each option."""
        return np.column_stack([np.ones(len(self.y)), self.fitted])


@dataclass(frozen=True)
class FreeEffect:
    """Effect, in ln units, of one part, or the interaction of several, with its standard error."""

    parts: tuple[str, ...]
    estimate: float
    se: float


def free_effects(grid: Grid, variance: float) -> tuple[FreeEffect, ...]:
    """Every effect and interaction of a complete grid of two options a slot; `variance` (ln²) is that of one donning.

    An effect is the mean with the part less the mean without; an interaction is half the difference between the
    effects of one part with and without the other, and so on. ValueError for other grids.
    Source: Box, Hunter & Hunter, Statistics for Experimenters, ch. 5.
    """
    if not grid.complete or len(grid.columns) != len(grid.options):
        raise ValueError("every interaction is free only in a complete grid of two options a slot")
    signs = 2 * grid.fitted - 1
    half = len(grid.y) / 2
    effects = []
    for order in range(1, len(grid.columns) + 1):
        for chosen in combinations(range(len(grid.columns)), order):
            sign = signs[:, chosen].prod(axis=1)
            se = float(np.sqrt(variance * (1 / grid.n).sum()) / half)
            effects.append(FreeEffect(tuple(grid.columns[j][1] for j in chosen), float(sign @ grid.y / half), se))
    return tuple(effects)
