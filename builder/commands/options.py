"""What several verbs share: the entries folder, and reading it into a dataset."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Callable

    from builder.findings.dataset import Dataset
    from builder.records.memory import Memory


def put_in_order(_: click.Context, __: click.Parameter, entries: Path) -> Path:
    """Finish what an interrupted run left in the entries folder, before a verb reads it."""
    from builder.commands.saving import tidy_up

    tidy_up(entries)
    return entries


_MEMORY = "builder.commands.memory"


def _forget(context: click.Context, __: click.Parameter, wanted: bool) -> None:
    context.meta[_MEMORY] = not wanted


def memory() -> Memory:
    """Give the memory of the running verb: nobody's with `--no-cache`."""
    from builder.records.memory import Memory

    return Memory.of_user() if click.get_current_context().meta.get(_MEMORY, True) else Memory()


def entries_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options of every verb that reads entries; it gets the folder as `entries`."""
    return _entries_option(_no_cache_option(command))


def day_option(told: str, metavar: str | None = None) -> Callable[..., Any]:
    """Give a command the option `--date`, as a `day` that is today where none is said."""
    return click.option(
        "--date",
        "day",
        type=click.DateTime(["%Y-%m-%d"]),
        callback=lambda _, __, said: said.date() if said else date.today(),
        metavar=metavar,
        help=told,
    )


_no_cache_option = click.option(
    "--no-cache",
    is_flag=True,
    expose_value=False,
    callback=_forget,
    help="Work everything out anew, and keep nothing of it for the next time.",
)
_entries_option = click.option(
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
    from builder.records.side_by_side import side_by_side

    try:
        return replace(build_dataset(entries, memory()), run=side_by_side)
    except EntriesInvalidError as error:
        click.echo(as_text(error.problems), err=True)
        raise click.exceptions.Exit(1) from None


method_option = click.option(
    "--method",
    metavar="ID",
    help="Only what was measured by one method: its protocol, instrument and sizes, as in "
    "short-four-exercise.condensation-counter.all-sizes.",
)


def narrowed(data: Dataset, method: str | None) -> Dataset:
    """Give what was measured by a method alone, everything for none; a usage error names those there are."""
    if method is None:
        return data
    if method not in data.by_method:
        known = ", ".join(data.by_method) or "none"
        raise click.UsageError(f"No test that counts was measured by {method}. Methods here: {known}.")
    return data.by_method[method]


def how_measured(data: Dataset) -> str:
    """Say whether printed figures mix methods, or which one they are of."""
    from builder.words.method_words import methods_sentence, narrowed_sentence

    return narrowed_sentence(data.methods.each[0]) if data.whole else methods_sentence(data.methods)


def format_option(said: str | None = "How to print.") -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Give a command `--format`, for text or for JSON; it gets the choice as `form`."""
    return click.option(
        "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help=said
    )
