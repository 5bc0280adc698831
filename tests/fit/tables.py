"""Small tidy tables, with only the columns that the comparison statistics read."""

from collections.abc import Iterable

import pandas as pd

from builder.fit.compare.bridging import estimate_methods, method_arms
from builder.fit.compare.measured_arms import MeasuredArms, measured_arms
from builder.fit.compare.nested_scatter import NestedScatter, WearerScatter

Row = tuple[str, str, float]

SLOTS = ("straps", "nose_wire", "nose_foam", "edge")
"""Columns of the parts changed, as the science is told of them."""

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
    table = table.assign(protocol="eight-exercise", instrument="condensation-counter", size_selection="all-sizes")
    table["at_least"] = table.index.isin(list(at_least))
    table["counted"] = ~table.index.isin(list(set_aside))
    return table


def measured(table: pd.DataFrame, scatter: NestedScatter) -> MeasuredArms:
    """The arms of a table, with what its own bridging tests say of methods."""
    return measured_arms(table, scatter, estimate_methods(table, method_arms(table, scatter)))
