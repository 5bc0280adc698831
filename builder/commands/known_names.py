"""Names on the command line that must be in the entries: what is said of one that is not."""

from __future__ import annotations

from collections.abc import Collection, Iterable

import click

from builder.records.nearest_words import nearest


def check_known(name: str, known: Iterable[str], what: str) -> None:
    """Raise a usage error that offers the nearest names, where this one is none of those known."""
    known = set(known)
    if name in known:
        return
    near = nearest(name, known, most=5)
    hint = f" The nearest: {', '.join(near)}." if near else ""
    raise click.UsageError(f"There is no {what} {name} in these entries.{hint}")


def meant_or_known(name: str, likely: Collection[str], further: Iterable[str] = ()) -> str:
    """Say in a sentence which of all known names was probably meant, or else which are the likely ones."""
    if near := nearest(name, {*likely, *further}, most=3):
        return f"Did you mean {' or '.join(near)}?"
    return f"Known are {', '.join(likely) or 'none'}."
