"""Keys that an entry cannot do without are there.

A test needs its mask, date, contributor, the wearer with `facial_hair`, and a protocol. A mask needs model,
maker, style and class. A part needs name, slot, material, how it is fitted and whether that can be undone.
"""

from collections.abc import Sequence

from builder.records.problems import Finding, Key
from builder.records.rules.base import Rule
from builder.records.vocabulary import Word

RULE = Rule("missing-key", "No required key is missing", __doc__)


def missing(key: Key, meaning: str, words: Sequence[Word]) -> Finding:
    """Report a required key or table that is not there; `meaning` says what belongs in it, or which of `words`."""
    name = key[-1]
    names = ".".join(part for part in key[:-1] if isinstance(part, str))
    where = f"in the table [{names}]" if names else "at the top of the file"
    choice = f": {', '.join(words[:-1])} or {words[-1]}" if words else ""
    return Finding(key, f"{name} is missing {where}.", f"Add {name}{choice}. {meaning}".strip())
