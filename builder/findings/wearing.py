"""What it was like to wear each configuration, whether every exercise passed, and which seats of a panel it has filled.

Rates are over the donnings that count and note the thing at all: each comes with their number.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from builder.findings.table import Column
from builder.fit.levels import PASS_LEVEL
from builder.fit.panel import PANEL_SEATS
from builder.fit.summary.censoring import grouped_medians
from builder.records.vocabulary import Leak

GOOD_COMFORT, HARD_BREATHING = 4, 4
"""Ratings from here on, of 1 to 5, are called comfortable, and hard to breathe through. No published source."""
SEATS = sum(PANEL_SEATS.values())

LEAKS = {f"leak_{place.value.replace('-', '_')}": place for place in Leak}
"""The rate of each place that leaked, by its name."""
RATES = ("comfortable", "hard_to_breathe", "touches_eyes_share", "fogging_share", *LEAKS, "every_exercise_at_100")
"""Shares of donnings, each with a column `<name>_tests` beside it that says of how many."""

_MEANINGS = {
    "comfortable": f"rated {GOOD_COMFORT} or 5 for comfort, of those rated",
    "hard_to_breathe": f"rated {HARD_BREATHING} or 5 for effort of breathing, of those rated",
    "touches_eyes_share": "in which it touched the eyes, of those that say so or not",
    "fogging_share": "in which glasses fogged, of those that say so or not",
    **{name: f"that name the {place.label.lower()}, of those that name any leak" for name, place in LEAKS.items()},
    "every_exercise_at_100": f"in which every exercise reached {PASS_LEVEL:g}, of those that give each",
}

WEARING_COLUMNS: dict[str, Column] = {
    "configuration": Column("str", "", "Mask as sold, or mask+part+part with the parts in slot order."),
    **{
        name: column
        for rate in RATES
        for name, column in (
            (rate, Column("float64", "1", f"Share of donnings {_MEANINGS[rate]}.")),
            (f"{rate}_tests", Column("int64", "1", "Donnings that share is taken over.")),
        )
    },
    "lowest_exercise": Column("str", "", "The exercise that was lowest most often."),
    "lowest_exercise_fit_factor": Column("float64", "1", "Median of the lowest exercise's fit factor."),
    "seats_filled": Column("int64", "1", f"Seats of a panel of {SEATS} faces that wearers of it fill."),
    "seats_at_100": Column("int64", "1", f"Of those, wearers whose own median reaches {PASS_LEVEL:g}."),
    "seats_open": Column("str", "", "Cells with empty seats, each as cell×seats, joined by +."),
}


def wearing_figures(table: pd.DataFrame) -> pd.DataFrame:
    """Give a row for each configuration of the tidy table with a test that counts, in `WEARING_COLUMNS`."""
    counted = table[table["counted"]]
    parts = [_rates(counted), _lowest(counted), _seats(counted)]
    figures = pd.concat(parts, axis=1).rename_axis("configuration").reset_index()
    types = {name: "object" if column.dtype == "str" else column.dtype for name, column in WEARING_COLUMNS.items()}
    for name, dtype in types.items():
        if dtype == "object":
            figures[name] = figures[name].fillna("")
    return figures[list(WEARING_COLUMNS)].astype(types)


def beside_summary(summary: pd.DataFrame, figures: pd.DataFrame) -> pd.DataFrame:
    """Put the figures of `wearing_figures` beside a summary's, row for row; without a test that counts nobody sits."""
    beside = figures.set_index("configuration").reindex(summary["configuration"])
    for name, column in WEARING_COLUMNS.items():
        if column.dtype == "int64":
            beside[name] = beside[name].fillna(0).astype(int)
    beside["lowest_exercise"] = beside["lowest_exercise"].fillna("")
    beside["seats_open"] = beside["seats_open"].fillna(_open([0] * len(PANEL_SEATS)))
    return pd.concat([summary, beside.set_index(summary.index)], axis=1)


def _rates(counted: pd.DataFrame) -> pd.DataFrame:
    noted = counted["leaks"] != ""
    places = "+" + counted["leaks"] + "+"
    yes = {
        "comfortable": _where(counted["comfort"] >= GOOD_COMFORT, counted["comfort"].notna()),
        "hard_to_breathe": _where(counted["breathing_effort"] >= HARD_BREATHING, counted["breathing_effort"].notna()),
        "touches_eyes_share": _where(counted["touches_eyes"] == "yes", counted["touches_eyes"] != ""),
        "fogging_share": _where(counted["fogging"] == "yes", counted["fogging"] != ""),
        **{name: _where(places.str.contains(f"+{p.value}+", regex=False), noted) for name, p in LEAKS.items()},
        "every_exercise_at_100": _where(
            counted["lowest_exercise_fit_factor"] >= PASS_LEVEL, counted["lowest_exercise"] != ""
        ),
    }
    grouped = pd.DataFrame(yes, index=counted.index).groupby(counted["configuration"], sort=True)
    return pd.concat([grouped.mean(), grouped.count().add_suffix("_tests")], axis=1)


def _where(holds: pd.Series, known: pd.Series) -> pd.Series:
    return holds.astype(float).where(known.astype(bool))


def _lowest(counted: pd.DataFrame) -> pd.DataFrame:
    given = counted[counted["lowest_exercise"] != ""]
    by = given.groupby("configuration", sort=True)
    often = (
        given.groupby(["configuration", "lowest_exercise"], sort=True)
        .size()
        .rename("times")
        .reset_index()
        .sort_values(["configuration", "times", "lowest_exercise"], ascending=[True, False, True])
        .drop_duplicates("configuration")
        .set_index("configuration")["lowest_exercise"]
    )
    return pd.DataFrame(
        {"lowest_exercise": often, "lowest_exercise_fit_factor": by["lowest_exercise_fit_factor"].median()}
    )


def _seats(counted: pd.DataFrame) -> pd.DataFrame:
    """Seat wearers in the order of their first test, so that nobody is chosen by the result."""
    keys = ["configuration", "wearer"]
    pairs = counted.groupby(keys, sort=True).agg(cell=("cell", "first"), first=("date", "min")).reset_index()
    place = counted.groupby(keys, sort=True).ngroup().to_numpy(dtype=np.intp)
    medians = grouped_medians(
        counted["fit_factor"].to_numpy(float), counted["at_least"].to_numpy(bool), place, len(pairs)
    )
    pairs = pairs.assign(passes=medians.value >= PASS_LEVEL, seats=pairs["cell"].map(PANEL_SEATS).fillna(0))
    pairs = pairs.sort_values(["configuration", "cell", "first", "wearer"])
    seated = pairs[pairs.groupby(["configuration", "cell"]).cumcount() < pairs["seats"]]
    configurations = pairs["configuration"].drop_duplicates()
    filled = seated.groupby("configuration").size().reindex(configurations, fill_value=0)
    passing = seated.groupby("configuration")["passes"].sum().reindex(configurations, fill_value=0)
    cells = pd.crosstab(seated["configuration"], seated["cell"])
    cells = cells.reindex(index=configurations, columns=list(PANEL_SEATS), fill_value=0)
    still_open = pd.Series([_open(row) for row in cells.to_numpy().tolist()], index=cells.index)
    return pd.DataFrame({"seats_filled": filled, "seats_at_100": passing, "seats_open": still_open}).sort_index()


def _open(taken: Sequence[int]) -> str:
    left = ((cell, seats - n) for (cell, seats), n in zip(PANEL_SEATS.items(), taken, strict=True))
    return "+".join(f"{cell}×{n}" for cell, n in left if n)
