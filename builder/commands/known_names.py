"""Names on the command line that must be in the entries."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

import click


def check_known(name: str, known: Iterable[str], what: str) -> None:
    """Raise a usage error that offers the nearest names, where this one is none of those known."""
    known = set(known)
    if name in known:
        return
    nearest = difflib.get_close_matches(name, sorted(known), n=5, cutoff=0.5)
    hint = f" The nearest: {', '.join(nearest)}." if nearest else ""
    raise click.UsageError(f"There is no {what} {name} in these entries.{hint}")
