"""Only keys that the format knows, each in its table.

A mistyped optional key would otherwise be dropped without a word, and with it what the contributor wanted to say.

```toml
[face]
nose_bridge = "high"   # right
nosebridge = "high"    # wrong: nothing would read it
```
"""

from collections.abc import Sequence
from difflib import get_close_matches

from builder.records.problems import Finding, Key, quoted
from builder.records.rules.base import Rule

RULE = Rule("unknown-key", "Known keys only", __doc__)


def unknown(key: Key, known: Sequence[str], elsewhere: Sequence[str]) -> Finding:
    """Report a key that its table does not know.

    `known` are the table's keys; `elsewhere` are other tables that have a key of this name.
    """
    name = str(key[-1])
    table = _table(key[:-1])
    by_plain = {_plain(candidate): candidate for candidate in known}
    if near := get_close_matches(_plain(name), by_plain, n=1, cutoff=0.7):
        remedy = f"Did you mean {by_plain[near[0]]}?"
    elif elsewhere:
        remedy = f"{name} belongs {' or '.join(map(_into, elsewhere))}."
    else:
        remedy = f"Known here: {', '.join(known)}."
    return Finding(key, f"{table} has no key {quoted(name)}.", remedy)


def _table(key: Key) -> str:
    names = ".".join(part for part in key if isinstance(part, str))
    return f"The table [{names}]" if names else "The top of the file"


def _into(table: str) -> str:
    return f"in the table [{table}]" if table else "at the top of the file, before the first table"


def _plain(name: str) -> str:
    return name.lower().replace("-", "_").replace(" ", "_")
