"""`sealbook summary`: median, range and the rest of each configuration, as the site shows them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.commands.options import dataset, entries_option, how_measured, method_option, narrowed
from builder.commands.text_columns import in_columns
from builder.fit.levels import PASS_LEVEL

if TYPE_CHECKING:
    import pandas as pd


@click.command("summary", epilog="Example: sealbook summary --format csv > configurations.csv")
@click.option(
    "--best-first",
    is_flag=True,
    help="Order by the lower limit of the share of wearers who reach 100, fewer than three wearers last.",
)
@method_option
@entries_option
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "csv"]),
    default="text",
    show_default=True,
    help="How to print.",
)
def command(*, best_first: bool, method: str | None, entries: Path, form: str) -> None:
    """Print median, range, wearers and the rest for every configuration.

    JSON and CSV also hold what wearers noticed and where it leaked, as shares each with its number of donnings, how
    often every exercise reached 100, and which seats of a panel of 25 faces are filled.
    """
    from builder.findings.wearing import beside_summary
    from builder.words.opendata.formats import as_csv, as_objects

    data = narrowed(dataset(entries), method)
    summary = data.summary
    if best_first:
        from builder.findings.standing import best_first as in_order

        summary = in_order(summary)
    if form == "text":
        click.echo(_as_text(summary))
        click.echo(how_measured(data), err=True, nl=not summary.empty)
    else:
        whole = beside_summary(summary, data.wearing)
        click.echo(as_objects(whole) if form == "json" else as_csv(whole), nl=form == "json")


def _as_text(summary: pd.DataFrame) -> str:
    from builder.words.numbers import figure, fit

    if summary.empty:
        return "No tests yet."
    rows = [["configuration", "median", "range", "tests", "wearers", f"reach {PASS_LEVEL:g}"]]
    for row in summary.to_dict("records"):
        low, high = figure(row["lowest_fit_factor"]), fit(row["highest_fit_factor"], row["highest_at_least"])
        median = fit(row["median_fit_factor"], row["median_at_least"])
        passing = (
            f"{round(row['share_at_100'] * row['share_wearers'])}/{row['share_wearers']}"
            if row["share_wearers"]
            else "–"
        )
        counts = str(row["tests"]), str(row["wearers"])
        rows.append([row["configuration"], median, f"{low}–{high}", *counts, passing])
    return "\n".join(in_columns(rows, right=True, least=(0, 8, 15, 5, 7, 9)))
