"""Small tidy tables, with only the columns that the comparison statistics read."""

from collections.abc import Iterable, Sequence
from dataclasses import astuple

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from builder.fit.compare.bridging import estimate_methods, method_arms
from builder.fit.compare.contrasts import Contrast, told_by
from builder.fit.compare.like_with_like import MethodArm
from builder.fit.compare.limits import LimitedArm
from builder.fit.compare.measured_arms import MeasuredArms, measured_arms
from builder.fit.compare.methods import METHOD, Method, MethodEffects
from builder.fit.compare.nested_scatter import NestedScatter, WearerScatter
from builder.fit.compare.two_configurations import Comparison, compare

Row = tuple[str, str, float]

SLOTS = ("straps", "nose_wire", "nose_foam", "edge")
"""Columns of the parts changed, as the science is told of them."""

ONE_METHOD = Method("eight-exercise", "condensation-counter", "all-sizes")
"""How the tests of these tables are measured."""

SURE = 1e9
"""Degrees of freedom of what is known for sure."""


def scatter_of_all(variance: float, df: float = SURE, arm_df: float = SURE, *, planned: bool = False) -> NestedScatter:
    """Scatter of a database whose wearers are all strangers, with `arm_df` for what arms of one wearer differ by."""
    return NestedScatter(WearerScatter(variance, df), arm_df, {}, arms=30, total_df=60, planned=planned)


def tidy(
    rows: Iterable[Row], *, at_least: Iterable[int] = (), set_aside: Iterable[int] = (), slots: Iterable[str] = SLOTS
) -> pd.DataFrame:
    """A table of (configuration, wearer, fit factor); parts are named `<slot>-<anything>`, the slot one of `slots`.

    `at_least` and `set_aside` number the rows that are so.
    """
    table = pd.DataFrame(list(rows), columns=["configuration", "wearer", "fit_factor"])
    table["mask"] = table["configuration"].str.split("+").str[0]
    for slot in slots:
        table[slot] = table["configuration"].str.extract(rf"\+({slot}-[^+]*)", expand=False).fillna("")
    table["facial_hair"] = "none"
    table = table.assign(**dict(zip(METHOD, astuple(ONE_METHOD), strict=True)))
    table["at_least"] = table.index.isin(list(at_least))
    table["counted"] = ~table.index.isin(list(set_aside))
    return table


def measured(table: pd.DataFrame, scatter: NestedScatter) -> MeasuredArms:
    """The arms of a table, with what its own tests say of methods."""
    return measured_arms(table, scatter, estimate_methods(table, method_arms(table, scatter)))


def compared(table: pd.DataFrame, a: str, b: str, scatter: NestedScatter) -> Comparison:
    """Two configurations of a table over all its wearers."""
    return compare(measured(table, scatter), a, b)


def readings(
    values: ArrayLike, scatter: NestedScatter, at_least: Sequence[bool] | None = None, *, wearer: str = ""
) -> MethodArm:
    """The arm of some values of ln FF, with their "at least" flags."""
    y = np.asarray(values, dtype=np.float64)
    flags = np.zeros(len(y), dtype=bool) if at_least is None else np.asarray(at_least)
    df = 0.0 if flags.any() else len(y) - 1.0
    own = float(np.var(y, ddof=1)) if df else 0.0
    moderated = float(scatter.moderated([own], [df], [wearer])[0])
    return MethodArm(ONE_METHOD, LimitedArm.of(y, flags, moderated), df)


def contrast(a: MethodArm, b: MethodArm, scatter: NestedScatter) -> Contrast:
    """Two arms of one unnamed wearer, measured alike."""
    return told_by([a], [b], scatter, MethodEffects.unknown([ONE_METHOD])).contrast
