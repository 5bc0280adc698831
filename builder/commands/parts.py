"""`sealbook parts`: which part of a change did it, on each wearer who tried several on a mask."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from builder.commands.known_names import check_known
from builder.commands.options import dataset, entries_option, format_option
from builder.commands.text_columns import in_columns
from builder.fit.levels import SHOWN_LEVEL

if TYPE_CHECKING:
    from builder.words.wearer_run_words import WearerRunWords
    from builder.words.which_part import WearerParts


@click.command("parts", epilog="Example: sealbook parts skevuthar")
@click.argument("mask")
@click.option("--wearer", metavar="W", help="Only what this wearer tested.")
@entries_option
@format_option()
def command(*, mask: str, wearer: str | None, entries: Path, form: str) -> None:
    """Say which part of a change did it, on each wearer who tried several parts on MASK.

    What each part is worth by itself, the others held equal. Where combinations were not tried, each may miss the
    product of its parts, and the intervals are as much wider.
    """
    data = dataset(entries)
    check_known(mask, data.entries.masks, "mask")
    if wearer is not None:
        check_known(wearer, data.table["wearer"], "wearer")
    from builder.findings.wearer_run import wearer_runs
    from builder.words.labels import wearer_label
    from builder.words.wearer_run_words import wearer_run_words
    from builder.words.which_part import wearer_parts

    found = [one for one in data.factorials.get(mask, ()) if wearer in (None, one.wearer)]
    said = {
        words.wearer: words for words in (wearer_run_words(data, run) for run in wearer_runs(data, mask, wearer or ""))
    }
    if form == "json":
        click.echo(_as_json([asdict(one) | _told(said.get(wearer_label(one))) for one in found]))
        return
    texts = []
    for one in wearer_parts(data, found):
        texts.append(_as_text(one))
        if words := said.pop(one.wearer, None):
            texts.append(words.text)
    if not found:
        texts.append(f"{f'{wearer} has not' if wearer else 'Nobody has'} tried two parts together on {mask} yet.")
    texts += [f"{words.wearer}: {words.text}" for words in said.values()]
    click.echo("\n\n".join(texts))


def _told(words: WearerRunWords | None) -> dict[str, str | None]:
    """Lay out what is said of a run; null for one that has but a single configuration."""
    named = ("seen", "verdict", "next_step")
    return {name: getattr(words, name) if words else None for name in named}


def _as_json(printed: list[dict[str, Any]]) -> str:
    import json

    return json.dumps(printed, indent=1, ensure_ascii=False, allow_nan=False)


def _as_text(told: WearerParts) -> str:
    from builder.words.numbers import level

    rows = []
    for row in told.rows:
        remark = f"  ({row.remark})" if row.remark else ""
        figures = "–" if row.ratio == "–" else f"{row.ratio} ({level(SHOWN_LEVEL)} {row.interval})"
        rows.append((f"  {row.part}", f"{figures}{remark}"))
    return "\n".join([f"{told.wearer}: {told.tried}", *in_columns(rows)])
