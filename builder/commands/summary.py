"""`sealbook summary`: median, range and the rest of each configuration, as the site shows them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.commands.options import dataset, entries_option
from builder.fit.levels import PASS_LEVEL

if TYPE_CHECKING:
    import pandas as pd


@click.command("summary", epilog="Example: sealbook summary --format csv > configurations.csv")
@entries_option
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "csv"]),
    default="text",
    show_default=True,
    help="How to print.",
)
def command(*, entries: Path, form: str) -> None:
    """Print median, range, wearers and the rest for every configuration."""
    from builder.words.opendata.formats import as_csv, as_json

    summary = dataset(entries).summary
    if form == "text":
        click.echo(_as_text(summary))
    else:
        click.echo(as_json(summary) if form == "json" else as_csv(summary), nl=form == "json")


def _as_text(summary: pd.DataFrame) -> str:
    from builder.words.numbers import figure, fit

    if summary.empty:
        return "No tests yet."
    width = max(len("configuration"), *(len(c) for c in summary["configuration"]))
    reach = f"reach {PASS_LEVEL:g}"
    lines = [f"{'configuration':{width}}  {'median':>8}  {'range':>15}  {'tests':>5}  {'wearers':>7}  {reach:>9}"]
    for row in summary.to_dict("records"):
        low, high = figure(row["lowest_fit_factor"]), fit(row["highest_fit_factor"], row["highest_at_least"])
        median = fit(row["median_fit_factor"], row["median_at_least"])
        passing = (
            f"{round(row['share_at_100'] * row['share_wearers'])}/{row['share_wearers']}"
            if row["share_wearers"]
            else "–"
        )
        lines.append(
            f"{row['configuration']:{width}}  {median:>8}  {f'{low}–{high}':>15}  "
            f"{row['tests']:>5}  {row['wearers']:>7}  {passing:>9}"
        )
    return "\n".join(lines)
