"""What can be wrong with the keys of one file: they are missing, unknown, or do not go together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from builder.records.nearest_words import nearest
from builder.records.problems import Finding, Key, Rule, quoted
from builder.records.vocabulary import Word

MISSING_KEY = Rule(
    "missing-key",
    "No required key is missing",
    """Keys that an entry cannot do without are there.

A test needs its mask, date, contributor, the wearer with `facial_hair`, and a protocol. A mask needs model,
maker, style and class. A part needs name, slot, material, how it is fitted and whether that can be undone.
""",
)


def missing_key(key: Key, meaning: str, words: Sequence[Word]) -> Finding:
    """Report a required key or table that is not there; `meaning` says what belongs in it, or which of `words`."""
    name = key[-1]
    names = ".".join(part for part in key[:-1] if isinstance(part, str))
    where = f"in the table [{names}]" if names else "at the top of the file"
    choice = f": {', '.join(words[:-1])} or {words[-1]}" if words else ""
    return Finding(key, f"{name} is missing {where}.", f"Add {name}{choice}. {meaning}".strip())


UNKNOWN_KEY = Rule(
    "unknown-key",
    "Known keys only",
    """Only keys that the format knows, each in its table.

A mistyped optional key would otherwise be dropped without a word, and with it what the contributor wanted to say.

```toml
[face]
nose_bridge = "high"   # right
nosebridge = "high"    # wrong: nothing would read it
```
""",
)


def unknown_key(key: Key, known: Sequence[str], elsewhere: Sequence[str]) -> Finding:
    """Report a key that its table does not know.

    `known` are the table's keys; `elsewhere` are other tables that have a key of this name.
    """
    name = str(key[-1])
    table = _table(key[:-1])
    if near := meant(name, known):
        remedy = f"Did you mean {near}?"
    elif elsewhere:
        remedy = f"{name} belongs {' or '.join(map(_into, elsewhere))}."
    else:
        remedy = f"Known here: {', '.join(known)}."
    return Finding(key, f"{table} has no key {quoted(name)}.", remedy)


def meant(name: str, known: Sequence[str]) -> str | None:
    """Give the known key that was probably meant by one that is not."""
    by_plain = {_plain(candidate): candidate for candidate in known}
    near = nearest(_plain(name), by_plain)
    return by_plain[near[0]] if near else None


def _table(key: Key) -> str:
    names = ".".join(part for part in key if isinstance(part, str))
    return f"The table [{names}]" if names else "The top of the file"


def _into(table: str) -> str:
    return f"in the table [{table}]" if table else "at the top of the file, before the first table"


def _plain(name: str) -> str:
    return name.lower().replace("-", "_").replace(" ", "_")


BELONG_TOGETHER = Rule(
    "belong-together",
    "Keys that belong together",
    """Keys that come together are both there; of keys that say the same thing only one is.

Face length and face width come together, or only the panel cell is given. A stretch of counts has particles or a
concentration. A strip has `width_mm` and `thickness_mm`, a round wire has `diameter_mm`. A mask of class `other` has a
`class_name`, and no other mask has. A line of `removed.toml` names a test or a mask.
""",
)


@dataclass(frozen=True)
class Together:
    """Keys of one table that belong together, and what to write."""

    keys: tuple[str, ...]
    remedy: str


TOGETHER: Mapping[str, Together] = {
    "face": Together(("length_mm", "width_mm", "cell"), "Give length_mm and width_mm, or cell alone, or none of them."),
    "count": Together(
        ("particles", "concentration"), "Keep one: particles where the counter gives a number, else concentration."
    ),
    "section": Together(
        ("shape", "width_mm", "thickness_mm", "diameter_mm"),
        "Strip: width_mm and thickness_mm, no diameter_mm. Round: diameter_mm alone.",
    ),
    "class_name": Together(
        ("class", "class_name"),
        "Write what is printed on the mask as class_name, or leave class_name out and name its class.",
    ),
    "removal": Together(("test", "mask"), "Keep one: test for a single test, mask for a mask with all its tests."),
}
"""By the type of the model's error."""


def incomplete(error_type: str, key: Key, reason: str) -> Finding:
    """Report a table whose keys contradict each other; `reason` is the model's own sentence."""
    return Finding(key, f"{reason[0].upper()}{reason[1:]}.", TOGETHER[error_type].remedy)


RULES = (MISSING_KEY, UNKNOWN_KEY, BELONG_TOGETHER)
