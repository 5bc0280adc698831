"""`sealbook rename`: a mask or a part gets another id, everywhere at once."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from builder.commands.agreed_changes import with_agreement
from builder.commands.options import entries_option


@click.command("rename", epilog="Example: sealbook rename mask drum-cup drum-cup-medium")
@click.argument("kind", type=click.Choice(["mask", "part"]))
@click.argument("old", metavar="OLD")
@click.argument("new", metavar="NEW")
@with_agreement
@entries_option
def command(*, kind: str, old: str, new: str, yes: bool, form: str, day: date, entries: Path) -> None:
    """Give a mask or a part another id, everywhere at once.

    That is its file, its tests' folder, and every entry that names it. The pages at its old addresses lead on to the
    new ones; a line in removed.toml says so. First all files that change are shown, then all of them are
    written or none. To rename it back on the same day leaves no trace.
    """
    from builder.commands.agreed_changes import carry_out
    from builder.records.rewriting.renaming import rename_entry

    carry_out(
        entries,
        lambda today: rename_entry(entries, "mask" if kind == "mask" else "part", old, new, today),
        yes=yes,
        form=form,
        day=day,
    )
