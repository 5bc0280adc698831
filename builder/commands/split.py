"""`sealbook split`: a mask that is sold in sizes becomes one for each."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from builder.commands.agreed_changes import with_agreement
from builder.commands.options import entries_option


@click.command(
    "split",
    epilog="Example: sealbook split drum-cup --size drum-cup-s=S --size drum-cup-m=M --goes blue-heron=drum-cup-s "
    "--rest drum-cup-m",
)
@click.argument("mask", metavar="MASK")
@click.option("--size", "sizes", multiple=True, metavar="ID=SIZE", help="A new id and the size printed on that mask.")
@click.option(
    "--goes",
    multiple=True,
    metavar="WHAT=ID",
    help="Where tests go: those of a wearer, of a specimen by its label, or one test by its id.",
)
@click.option("--rest", metavar="ID", help="Where tests go of which nothing is said.")
@with_agreement
@entries_option
def command(
    *,
    mask: str,
    sizes: tuple[str, ...],
    goes: tuple[str, ...],
    rest: str | None,
    yes: bool,
    form: str,
    day: date,
    entries: Path,
) -> None:
    """Split MASK into its sizes, and each of its tests to one of them.

    Each size seals differently: each gets a mask file of its own.

    The page at the old address names the sizes and where each test is now; a line in removed.toml says so. First all
    files that change are shown, then all of them are written or none.
    """
    from builder.commands.agreed_changes import carry_out
    from builder.records.rewriting.splitting import Split, split_mask

    split = Split(mask, _pairs("--size", sizes), _pairs("--goes", goes), rest)
    carry_out(
        entries,
        lambda today: split_mask(entries, split, today),
        yes=yes,
        form=form,
        day=day,
    )


def _pairs(option: str, texts: tuple[str, ...]) -> dict[str, str]:
    pairs = [text.partition("=") for text in texts]
    if wrong := [text for text, (left, _, right) in zip(texts, pairs, strict=True) if not left or not right]:
        raise click.UsageError(f"{option} needs two things joined by =, not {', '.join(wrong)}.")
    return {left.strip(): right.strip() for left, _, right in pairs}
