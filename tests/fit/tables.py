"""Small tidy tables, with only the columns that the comparison statistics read."""

from collections.abc import Iterable

import pandas as pd

from builder.fit.compare.arms import SLOTS

Row = tuple[str, str, float]


def tidy(rows: Iterable[Row], *, at_least: Iterable[int] = (), set_aside: Iterable[int] = ()) -> pd.DataFrame:
    """A table of (configuration, wearer, fit factor); parts are named `<slot>-<anything>`, slots with underscores.

    `at_least` and `set_aside` number the rows that are so.
    """
    table = pd.DataFrame(list(rows), columns=["configuration", "wearer", "fit_factor"])
    table["mask"] = table["configuration"].str.split("+").str[0]
    for slot in SLOTS:
        table[slot] = table["configuration"].str.extract(rf"\+({slot}-[^+]*)", expand=False).fillna("")
    table["facial_hair"] = "none"
    table = table.assign(protocol="eight-exercise", instrument="condensation-counter", size_selection="all-sizes")
    table["at_least"] = table.index.isin(list(at_least))
    table["counted"] = ~table.index.isin(list(set_aside))
    return table
