"""`sealbook join`: two spellings of one wearer become one."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from builder.commands.agreed_changes import with_agreement
from builder.commands.options import entries_option


@click.command("join", epilog="Example: sealbook join blue-heron blueheron")
@click.argument("wearer", metavar="WEARER")
@click.argument("spelling", metavar="OTHER-SPELLING")
@with_agreement
@entries_option
def command(*, wearer: str, spelling: str, yes: bool, form: str, day: date, entries: Path) -> None:
    """Join two spellings of one wearer.

    The tests of OTHER-SPELLING become tests of WEARER, in the entries and in the names of their files.

    Faces that contradict each other are named with file and line, and nobody is joined then. Links to the tests' old
    addresses lead to them; lines in removed.toml say so. First all files that change are shown, then all of them are
    written or none.
    """
    from builder.commands.agreed_changes import carry_out
    from builder.records.rewriting.joining import join_wearers

    carry_out(
        entries,
        lambda today: join_wearers(entries, wearer, spelling, today),
        yes=yes,
        form=form,
        day=day,
    )
