"""`sealbook parts`: which part of a change did it, on each wearer who tried several on a mask."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.commands.known_names import check_known
from builder.commands.options import dataset, entries_option
from builder.commands.text_columns import in_columns
from builder.fit.levels import SHOWN_LEVEL

if TYPE_CHECKING:
    from builder.fit.compare.factorial import Factorial
    from builder.words.which_part import WearerParts


@click.command("parts", epilog="Example: sealbook parts skevuthar")
@click.argument("mask")
@click.option("--wearer", metavar="W", help="Only what this wearer tested.")
@entries_option
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="How to print."
)
def command(*, mask: str, wearer: str | None, entries: Path, form: str) -> None:
    """Say which part of a change did it, on each wearer who tried several parts on MASK.

    What each part is worth by itself, the others held equal. Where combinations were not tried, each may miss the
    product of its parts, and the intervals are as much wider.
    """
    data = dataset(entries)
    check_known(mask, data.entries.masks, "mask")
    if wearer is not None:
        check_known(wearer, data.table["wearer"], "wearer")
    from builder.words.which_part import wearer_parts

    found = [one for one in data.factorials.get(mask, ()) if wearer in (None, one.wearer)]
    if form == "json":
        click.echo(_as_json(found))
        return
    if found:
        click.echo("\n\n".join(map(_as_text, wearer_parts(data, found))))
    else:
        click.echo(f"{f'{wearer} has not' if wearer else 'Nobody has'} tried two parts together on {mask} yet.")


def _as_json(found: list[Factorial]) -> str:
    import json
    from dataclasses import asdict

    return json.dumps([asdict(one) for one in found], indent=1, ensure_ascii=False, allow_nan=False)


def _as_text(told: WearerParts) -> str:
    from builder.words.numbers import level

    rows = []
    for row in told.rows:
        remark = f"  ({row.remark})" if row.remark else ""
        figures = "–" if row.ratio == "–" else f"{row.ratio} ({level(SHOWN_LEVEL)} {row.interval})"
        rows.append((f"  {row.part}", f"{figures}{remark}"))
    return "\n".join([f"{told.wearer}: {told.tried}", *in_columns(rows)])
