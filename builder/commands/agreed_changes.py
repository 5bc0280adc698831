"""The last step of verbs that change many entries: show what changes, ask, and do all of it or nothing."""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

import click

from builder.commands.options import day_option
from builder.commands.saving import save
from builder.records.problems import as_text, printable
from builder.records.rewriting.entry_changes import CannotChangeError, EntryChanges, FileChange
from builder.records.text_edits import UneditableError
from builder.words.catalogue import count

Asking = TypeVar("Asking", bound=Callable[..., Any])

MOST_SHOWN = 40
"""Files that are named on a terminal; json and csv have all."""

agreed_options = (
    click.option("--yes", is_flag=True, help="Do it without asking."),
    click.option(
        "--format",
        "form",
        type=click.Choice(["text", "json", "csv"]),
        default="text",
        show_default=True,
        help="How to print which files change.",
    ),
    day_option("The day that old addresses tell; today if it is left out.", metavar="DATE"),
)


def with_agreement(command: Asking) -> Asking:
    """Give a command the options `yes`, `form` and `day` of every verb that ends here."""
    for option in reversed(agreed_options):
        command = option(command)
    return command


def carry_out(entries: Path, work_out: Callable[[date], EntryChanges], *, yes: bool, form: str, day: date) -> None:
    """Work out changes, show them, and write them where somebody agrees. Ends with 1 where they cannot be made."""
    try:
        changes = work_out(day)
    except CannotChangeError as error:
        if error.problems:
            click.echo(as_text(error.problems), err=True)
        for obstacle in error.obstacles:
            click.echo(f"{printable(obstacle.problem)}\n    → {printable(obstacle.remedy)}", err=True)
        click.echo("Nothing was written.", err=True)
        raise click.exceptions.Exit(1) from None
    except UneditableError:
        raise click.ClickException(
            "A file is written in a way that cannot be changed without losing remarks."
        ) from None
    _show(changes, form)
    agree(yes=yes)
    save(entries, changes.contents, changes.instead_of, changes.gone)
    click.echo(f"Done: {count('file', len(changes.files))}.", err=form != "text")


def agree(*, yes: bool) -> None:
    """Go on where somebody agrees; a usage error where there is nobody to ask."""
    if yes:
        return
    if not _is_terminal():
        raise click.UsageError("Nothing was written. Say --yes to do it.")
    if not click.confirm("Do this?", default=False, err=True):
        click.echo("Nothing was written.", err=True)
        raise click.exceptions.Exit(1)


def _is_terminal() -> bool:
    return sys.stdin.isatty()


def _show(changes: EntryChanges, form: str) -> None:
    files = changes.files
    if form == "json":
        listed = [{"before": f.before or None, "after": f.after or None, "what": f.what} for f in files]
        click.echo(json.dumps({"files": listed, "notes": changes.notes}, indent=1, ensure_ascii=False))
    elif form == "csv":
        table = io.StringIO()
        writer = csv.writer(table, lineterminator="\n")
        writer.writerow(["before", "after", "what"])
        writer.writerows([f.before, f.after, f.what] for f in files)
        click.echo(table.getvalue(), nl=False)
    else:
        click.echo(f"This changes {count('file', len(files))}:")
        for file in files[:MOST_SHOWN]:
            click.echo(f"  {_said(file)}")
        if len(files) > MOST_SHOWN:
            click.echo(f"  … and {len(files) - MOST_SHOWN} more")
    for note in changes.notes:
        click.echo(note, err=form != "text")


def _said(file: FileChange) -> str:
    match file.what:
        case "moved":
            return f"{file.before} → {file.after}"
        case "changed":
            return file.after
        case what:
            return f"{file.before or file.after} ({what})"
