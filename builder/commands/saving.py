"""Writing files for a verb: all of them or none, and in plain words why not."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path

import click

from builder.records.problems import printable
from builder.records.writing_files import settle, write_files


def save(
    root: Path,
    files: Mapping[str, str | bytes],
    instead_of: Mapping[str, str] | None = None,
    gone: Collection[str] = (),
) -> None:
    """Write and delete files below a folder, as `write_files` does. What cannot be written ends the verb."""
    try:
        write_files(root, files, instead_of, gone)
    except OSError as error:
        raise not_written(error) from error


def not_written(error: OSError) -> click.ClickException:
    """Say why nothing was written: a place is taken, or what the system says."""
    if isinstance(error, FileExistsError):
        return click.UsageError(f"{printable(str(error.filename))} is there already; nothing was written.")
    return click.ClickException(f"Nothing was written: {printable(error.strerror or str(error))}.")


def tidy_up(root: Path) -> None:
    """Finish what an interrupted run left half written below a folder, and say so."""
    try:
        number = settle(root)
    except OSError as error:
        reason = printable(error.strerror or str(error))
        click.echo(f"What an interrupted run left in {root} could not be put in order: {reason}.", err=True)
    else:
        if number:
            click.echo(f"Finished an interrupted run: put {number} more of its files into {root}.", err=True)


def check_free(folder: Path, but: Collection[str] = ()) -> None:
    """Raise a usage error for a folder that is neither new nor empty, but for these."""
    tidy_up(folder)
    if folder.exists() and not (folder.is_dir() and all(path.name in but for path in folder.iterdir())):
        raise click.UsageError(f"{folder} is there already and not empty; nothing was written. Name a new folder.")
