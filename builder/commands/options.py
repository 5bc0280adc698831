"""What several verbs share: the entries folder, and reading it into a dataset."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from builder.findings.dataset import Dataset


def put_in_order(_: click.Context, __: click.Parameter, entries: Path) -> Path:
    """Finish what an interrupted run left in the entries folder, before a verb reads it."""
    from builder.commands.saving import tidy_up

    tidy_up(entries)
    return entries


entries_option = click.option(
    "--entries",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default="entries",
    show_default=True,
    metavar="DIR",
    callback=put_in_order,
    help="The folder that holds masks, parts and tests.",
)


def dataset(entries: Path) -> Dataset:
    """Read the entries, or print every problem and end with 1 where one of them is an error."""
    from builder.findings.dataset import EntriesInvalidError, build_dataset
    from builder.records.problems import as_text

    try:
        return build_dataset(entries)
    except EntriesInvalidError as error:
        click.echo(as_text(error.problems), err=True)
        raise click.exceptions.Exit(1) from None
