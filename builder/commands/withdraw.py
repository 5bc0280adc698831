"""`sealbook withdraw`: all tests of a wearer or a contributor go, and so does their name."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from builder.commands.agreed_changes import with_agreement
from builder.commands.options import entries_option


@click.command("withdraw", epilog="Example: sealbook withdraw wearer blue-heron")
@click.argument("kind", type=click.Choice(["wearer", "contributor"]))
@click.argument("name", metavar="NAME")
@click.option("--reason", metavar="TEXT", help="What pages say in their place; it should name nobody.")
@with_agreement
@entries_option
def command(*, kind: str, name: str, reason: str | None, yes: bool, form: str, day: date, entries: Path) -> None:
    """Withdraw all tests of a wearer or of a contributor.

    In their place removed.toml and the pages of the masks say how many tests were withdrawn, when and why, and name
    nobody. First all files that go are shown, then all of it is done or nothing. Remarks that still name the person are
    listed: they are for people to change.
    """
    from builder.commands.agreed_changes import carry_out
    from builder.records.rewriting.withdrawing import REASON, withdraw_person

    person = "wearer" if kind == "wearer" else "contributor"
    carry_out(
        entries,
        lambda today: withdraw_person(entries, person, name, reason or REASON, today),  # type: ignore[arg-type]
        yes=yes,
        form=form,
        day=day,
    )
