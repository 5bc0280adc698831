"""How tests were measured, as the model has it, and the one method that its chances are stated for."""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from builder.fit.arrays import IntArray
from builder.fit.compare.methods import METHOD, Method

REFERENCE = Method("eight-exercise", "condensation-counter", "all-sizes")
"""The method that chances are stated for, and that a fit factor told without one is taken to be measured by."""

MethodLevel = tuple[str, str]
"""A column of `METHOD` with a value in it."""


def levels_of(table: pd.DataFrame) -> tuple[MethodLevel, ...]:
    """Levels of the methods in a tidy table and of the reference, column by column and sorted within each."""
    return tuple(
        (name, value)
        for name in METHOD
        for value in sorted({str(value) for value in table[name].unique()} | {getattr(REFERENCE, name)})
    )


def level_numbers(levels: Sequence[MethodLevel], methods: pd.DataFrame) -> IntArray:
    """Number of each level of methods, given in the columns `METHOD`, (n, 3). KeyError for one that is not listed."""
    number = {level: i for i, level in enumerate(levels)}
    columns = [[number[name, str(value)] for value in methods[name]] for name in METHOD]
    return np.array(columns, dtype=np.intp).reshape(len(METHOD), -1).T
