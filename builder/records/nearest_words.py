"""What was probably meant: the known names that are nearest to a mistyped one."""

from collections.abc import Iterable
from difflib import get_close_matches

ALIKE = 0.6
"""How much of two names must agree, from 0 to 1, for one to be taken for a slip in the other (difflib's ratio)."""

_LONGEST = 100
"""Characters that are compared; nothing that has a name is longer."""


def nearest(wanted: str, known: Iterable[str], most: int = 1) -> list[str]:
    """Give the known names that were probably meant, the nearest first, at most so many."""
    return get_close_matches(wanted[:_LONGEST], list(known), n=most, cutoff=ALIKE)


def plain(text: str) -> str:
    """Write a text as words are written: small letters, hyphens between."""
    return "-".join(text.lower().replace("_", " ").replace("-", " ").replace(",", " ").split())
