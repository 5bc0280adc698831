"""Where a value comes from a closed list of words, it is one of them, spelled as listed.

Words are in small letters with hyphens. The lists and what each word means are on the methods page; the message names
the nearest word, or all of them.
"""

from collections.abc import Sequence
from difflib import get_close_matches

from builder.records.problems import Finding, Key, quoted
from builder.records.rules.base import Rule
from builder.records.vocabulary import Word

RULE = Rule("unknown-word", "Words from the lists", __doc__)


def unknown(key: Key, value: object, known: Sequence[Word]) -> Finding:
    """Report a word that is not on the list of its key."""
    if near := nearest(value, known):
        remedy = f'Did you mean "{near}"? {near.label}: {near.meaning}'
    else:
        remedy = "Write one of: " + "; ".join(f'"{word}" ({word.meaning.rstrip(".")})' for word in known) + "."
    return Finding(key, f"{quoted(value)} is not one of the words for {key_name(key)}.", remedy)


def nearest(value: object, known: Sequence[Word]) -> Word | None:
    """Find the word that was probably meant."""
    if not isinstance(value, str):
        return None
    by_name = {name: word for word in known for name in (plain(word.label), str(word))}
    near = get_close_matches(plain(value), by_name, n=1, cutoff=0.7)
    return by_name[near[0]] if near else None


def plain(text: str) -> str:
    """Write a text as words are written: small letters, hyphens between."""
    return "-".join(text.lower().replace("_", " ").replace("-", " ").replace(",", " ").split())


def key_name(key: Key) -> str:
    """Name the key that a value belongs to; for an item of a list that of the list."""
    return next((part for part in reversed(key) if isinstance(part, str)), "")
