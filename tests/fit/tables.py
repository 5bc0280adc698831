"""Small tidy tables, with only the columns that the comparison statistics read."""

from collections.abc import Iterable

import pandas as pd

Row = tuple[str, str, float]

SLOTS = ("straps", "nose_wire", "nose_foam", "edge")
"""Columns of the parts changed, as the science is told of them."""


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
