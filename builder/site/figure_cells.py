"""The cells of a table that hold a configuration's figures, on whichever page it stands."""

from __future__ import annotations

from functools import lru_cache

from markupsafe import Markup, escape

from builder.findings.dataset import Row
from builder.records.spoken import SPOKEN
from builder.site.row_strips import RowStrips
from builder.words.numbers import figure, fit, none
from builder.words.summary_figures import interval_label, reach_label

_SHOWN = (
    "median_fit_factor",
    "median_at_least",
    "lowest_fit_factor",
    "highest_fit_factor",
    "highest_at_least",
    "wearers",
    "tests",
    "share_wearers",
    "share_at_100",
    "share_at_100_low",
    "share_at_100_high",
)


def cells(row: Row, strips: RowStrips) -> Markup:
    """Write the cells of a row of a summary, from the median on, as their heads in `_parts.html` stand."""
    return _cells(SPOKEN.get(), strips, *(row[name] for name in _SHOWN))


def bare_cells(row: Row, strips: RowStrips) -> Markup:
    """Write the same for a table whose class says that its cells are numbers: a long one is a third shorter so."""
    return Markup(cells(row, strips).replace(' class="sb-num"', ""))


# A configuration stands in several tables, by several methods, and in most builds of a served site as before.
@lru_cache(maxsize=20_000)
def _cells(_: str, strips: RowStrips, *shown: float) -> Markup:
    row = dict(zip(_SHOWN, shown, strict=True))
    low, median, high = (row[f"{name}_fit_factor"] for name in ("lowest", "median", "highest"))
    picture = strips.strip(low, median, high, bool(row["highest_at_least"]), bool(row["median_at_least"]))
    reached = escape(none())
    if row["share_wearers"]:
        interval = escape(interval_label(row))
        reached = Markup(f'{escape(reach_label(row))} <span class="sb-muted">({interval})</span>')
    written = (
        ("sb-num", f"<strong>{escape(fit(median, row['median_at_least']))}</strong>"),
        ("sb-picture", picture),
        ("sb-num", row["wearers"]),
        ("sb-num", escape(f"{figure(low)}–{fit(high, row['highest_at_least'])}")),
        ("sb-num", row["tests"]),
        ("sb-num", reached),
    )
    return Markup("".join(f'<td class="{css}">{content}</td>' for css, content in written))
