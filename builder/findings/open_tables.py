"""Which tables the open data hold, and what each of their columns means."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from builder.findings.dataset import Dataset, Row
from builder.findings.made_once import made_once
from builder.findings.table import COLUMNS, Column
from builder.findings.wearing import WEARING_COLUMNS
from builder.fit.compare.contrasts import Contrast
from builder.fit.compare.ladders import Rung
from builder.fit.compare.two_configurations import Comparison
from builder.fit.compare.verdicts import Judgement
from builder.fit.levels import CLEAR_LEVEL, LIKELY_LEVEL, PASS_LEVEL, PREDICTED_LEVEL, SHOWN_LEVEL

SHOWN, LIKELY, CLEAR, PREDICTED = (
    f"{100 * level:g} %" for level in (SHOWN_LEVEL, LIKELY_LEVEL, CLEAR_LEVEL, PREDICTED_LEVEL)
)

# Beyond these decimals a prediction differs from one processor to another, and nobody's fit hangs on them.
CHANCE_DECIMALS = 4

FORMS = ("csv", "json")

FOLLOWING = ("path", "method")
"""Columns of the tidy table that others tell in full: tests/<test>.toml, and how it was measured put together."""

TESTS = "tests"
"""Name of the table of the tests."""

TOLD: dict[str, Column] = {name: column for name, column in COLUMNS.items() if name not in FOLLOWING}
"""Its columns."""

CONFIGURATION = Column("str", "", "Mask as sold, or mask+part+part with the parts in slot order.")
MASK = Column("str", "", "Id of the mask.")
PARTS = Column("str", "", "The changed parts joined by +, empty as sold.")

SUMMARY_COLUMNS: dict[str, Column] = {
    "configuration": CONFIGURATION,
    "mask": MASK,
    "parts": PARTS,
    "tests": Column("int64", "1", "Tests that count."),
    "wearers": Column("int64", "1", "Wearers those tests are from."),
    "set_aside": Column("int64", "1", "Takes that do not count."),
    "median_fit_factor": Column("float64", "1", "Median over the tests (Kaplan–Meier where readings are at least)."),
    "median_at_least": Column("bool", "", "Whether the median is itself a lower limit."),
    "lowest_fit_factor": Column("float64", "1", "Lowest reading."),
    "highest_fit_factor": Column("float64", "1", "Highest reading."),
    "highest_at_least": Column("bool", "", "Whether the highest reading is a lower limit."),
    "geometric_mean": Column("float64", "1", "Geometric mean, lower limits taken in by likelihood."),
    "geometric_mean_at_least": Column(
        "bool", "", "Whether that is a lower limit: fewer than two exact readings differ."
    ),
    "gsd": Column(
        "float64", "1", "Geometric standard deviation, likewise; none where two exact readings do not differ."
    ),
    "til_percent": Column("float64", "%", "Total inward leakage at the median."),
    "wearer_median_fit_factor": Column("float64", "1", "Median of each wearer's median."),
    "wearer_median_at_least": Column("bool", "", "Whether that is a lower limit."),
    "share_at_100": Column("float64", "1", f"Share of wearers whose own median reaches {PASS_LEVEL:g}."),
    "share_at_100_low": Column("float64", "1", f"Lower end of its {SHOWN} interval (Wilson)."),
    "share_at_100_high": Column("float64", "1", f"Upper end of its {SHOWN} interval (Wilson)."),
    "share_wearers": Column("int64", "1", "Wearers that share is taken over."),
}

CONTRAST_COLUMNS: dict[str, Column] = {
    "mask": MASK,
    "configuration": Column("str", "", "The changed configuration, compared with the mask as sold."),
    "parts": PARTS,
    "over": Column(
        "str",
        "",
        "one-wearer; same-wearers: all who tried both; other-wearers: nobody tried both, so faces differ too.",
    ),
    "wearer": Column("str", "", "Pseudonym of the face, empty over several."),
    "facial_hair": Column("str", "", "Hair where the mask seals, empty over several wearers."),
    "wearers": Column("int64", "1", "Wearers who tried both."),
    "donnings_as_sold": Column("int64", "1", "Donnings as sold that the ratio rests on."),
    "donnings_changed": Column("int64", "1", "Donnings with the change that the ratio rests on."),
    "ratio": Column("float64", "1", "Geometric mean fit factor with the change over that as sold; empty if unbounded."),
    "bound": Column("str", "", "none; at_least or at_most where the ratio is a limit; both where nothing bounds it."),
    "low90": Column("float64", "1", f"Lower end of the {LIKELY} interval, empty if open."),
    "high90": Column("float64", "1", f"Upper end of the {LIKELY} interval, empty if open."),
    "low99": Column("float64", "1", f"Lower end of the {CLEAR} interval, empty if open."),
    "high99": Column("float64", "1", f"Upper end of the {CLEAR} interval, empty if open."),
    "p_value": Column("float64", "1", "Two-sided; over several wearers adjusted for the mask's list (Holm)."),
    "comparisons": Column("int64", "1", "How many comparisons that list holds; 1 for one wearer."),
    "verdict": Column("str", "", "clear, likely, alike or cannot-tell."),
    "direction": Column("str", "", "higher or lower with the change; empty where the verdict names none."),
    "predict_low95": Column("float64", "1", f"Lower end of the {SHOWN} interval of the ratio on a new face."),
    "predict_high95": Column("float64", "1", "Upper end of that interval."),
    "tau": Column("float64", "ln", "Standard deviation of the ln ratio between wearers."),
}

PREDICTION_COLUMNS: dict[str, Column] = {
    "configuration": CONFIGURATION,
    "chance": Column(
        "float64", "1", f"Share of the panel's population that one donning fits ({PASS_LEVEL:g} or more)."
    ),
    "low": Column("float64", "1", f"Lower end of its {PREDICTED} interval."),
    "high": Column("float64", "1", f"Upper end of its {PREDICTED} interval."),
    "tried": Column("float64", "1", "Share of the population in whose panel cells someone has tried it."),
    "mask_tried": Column("float64", "1", "Share in whose cells someone has tried any configuration of the mask."),
}


@dataclass(frozen=True)
class Table:
    """A table with the meaning of its columns; `key` names the column whose values are all there and differ, if any."""

    name: str
    title: str
    frame: pd.DataFrame
    columns: dict[str, Column]
    key: str = ""
    forms: tuple[str, ...] = FORMS
    """What the site offers it as; an export has every form."""


@made_once
def open_tables(data: Dataset) -> tuple[Table, ...]:
    """Give every table there is something to fill with; predictions only where the face model is used."""
    tables = (
        # One form is enough of what grows with every test, so that a site of many has room on a file host.
        Table(TESTS, "A row a test", tests_table(data), TOLD, "test", forms=("csv",)),
        Table("configurations", "A row a configuration", data.summary, SUMMARY_COLUMNS, "configuration"),
        Table("wearing", "What each configuration was like to wear", data.wearing, WEARING_COLUMNS, "configuration"),
        Table("contrasts", "Each change beside the mask as sold", contrasts(data), CONTRAST_COLUMNS, forms=("csv",)),
    )
    if data.model is None:
        return tables
    shares = data.population.round(CHANCE_DECIMALS)
    title = "What share of people each configuration may fit"
    return (*tables, Table("predictions", title, shares, PREDICTION_COLUMNS, "configuration"))


def tests_table(data: Dataset) -> pd.DataFrame:
    """Give the table of the tests, without remarks where these are out of reach."""
    return data.table.filter(items=list(TOLD))


def contrasts(data: Dataset) -> pd.DataFrame:
    """Compare every changed configuration with its mask as sold: a row for each wearer, then one over all of them."""
    rows = [
        {"mask": mask, "configuration": rung.configuration, "parts": rung.parts} | row
        for mask, rungs in sorted(data.ladders.items())
        for rung in sorted(rungs, key=lambda rung: rung.configuration)
        for row in _contrast_rows(rung)
    ]
    frame = pd.DataFrame(rows, columns=list(CONTRAST_COLUMNS))
    types = {name: "object" if column.dtype == "str" else column.dtype for name, column in CONTRAST_COLUMNS.items()}
    return frame.astype(types)


def _contrast_rows(rung: Rung) -> list[Row]:
    found = rung.comparison
    single = [
        {"over": "one-wearer", "wearer": one.wearer, "facial_hair": one.facial_hair, "wearers": 1} | _judged(one)
        for one in found.wearers
    ]
    everyone = {
        "over": "same-wearers" if found.same_wearers else "other-wearers",
        "wearer": "",
        "facial_hair": "",
        "wearers": len({one.wearer for one in found.wearers}),
        "predict_low95": found.predict_low95,
        "predict_high95": found.predict_high95,
        "tau": found.tau,
    }
    return [*single, everyone | _judged(found)]


def _judged(judged: Contrast | Comparison) -> Row:
    direction = {"b-higher": "higher", "a-higher": "lower", "none": ""}[judged.direction]
    same = Judgement.__dataclass_fields__.keys() & CONTRAST_COLUMNS.keys() - {"direction"}
    return {name: getattr(judged, name) for name in same} | {
        "donnings_as_sold": judged.n_a,
        "donnings_changed": judged.n_b,
        "direction": direction,
    }
