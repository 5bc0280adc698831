"""What the system refuses a verb, in one plain line: a full disk, a folder that may not be read."""

from __future__ import annotations

import os
import sys
from contextlib import suppress

import click

from builder.records.problems import printable


def tell_refusal(error: OSError) -> None:
    """Say what could not be done, as far as anything can still be said."""
    reason = printable(error.strerror or str(error))
    if error.filename is None:
        said = f"What there is to say could not be printed: {reason}."
    else:
        said = f"{printable(os.fsdecode(error.filename))}: {reason}."
    with suppress(OSError):
        click.echo(f"Error: {said}", err=True)
    _print_no_more()


def _print_no_more() -> None:
    """Drop what is waiting to be printed, or Python tries once more at its end and says so in its own words."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (OSError, ValueError):
            with suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
