"""The configurations of one mask tried on one wearer, as a grid of slots and their options."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod

import numpy as np
import pandas as pd

from builder.fit.arrays import FloatArray


@dataclass(frozen=True)
class Grid:
    """Arms of exact tests: their `configuration`, mean ln FF `y` and its `error`, a covariance (arms × arms).

    `options` lists, for each slot that varies, what was tried in it, the reference first: as sold where that was
    tried. `columns` are the other options as (slot, option); `fitted` says, arms × columns, which arm holds which.
    """

    configuration: tuple[str, ...]
    y: FloatArray
    error: FloatArray
    options: dict[str, tuple[str, ...]]
    columns: tuple[tuple[str, str], ...]
    fitted: FloatArray

    @classmethod
    def of(cls, arms: pd.DataFrame, slots: Sequence[str], error: FloatArray) -> "Grid":
        """The grid of rows with `configuration`, `mean` and the columns `slots`; one wearer, one mask."""
        tried = {slot: tuple(sorted(set(arms[slot]))) for slot in slots}
        options = {slot: choice for slot, choice in tried.items() if len(choice) > 1}
        columns = tuple((slot, option) for slot, choice in options.items() for option in choice[1:])
        fitted = [arms[slot].to_numpy() == option for slot, option in columns]
        return cls(
            tuple(arms["configuration"]),
            arms["mean"].to_numpy(np.float64),
            error,
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
