"""Which keys of an entry differ from those of another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.records.models import Entry
from builder.records.problems import Key, dotted, quoted


@dataclass(frozen=True)
class KeyChange:
    """A value that differs, as it stands in the file; "" where the key is not there."""

    key: str
    before: str
    after: str


def key_changes(before: Entry, after: Entry) -> Iterator[KeyChange]:
    """Give every value that differs between two entries of a kind, in the order of the model."""
    if before == after:
        return
    old, new = plain_values(before), plain_values(after)
    for key in [*old, *(key for key in new if key not in old)]:
        if key not in old or key not in new or old[key] != new[key]:
            yield KeyChange(dotted(key), *(_shown(side[key]) if key in side else "" for side in (old, new)))


def plain_values(entry: Entry) -> dict[Key, object]:
    """Give every value that an entry states, with its key."""
    return dict(_values(entry.model_dump(by_alias=True, exclude_defaults=True)))


def _shown(value: object) -> str:
    return quoted(int(value) if isinstance(value, float) and value.is_integer() else value)


def _values(value: object, key: Key = ()) -> Iterator[tuple[Key, object]]:
    """Give every plain value in a table of tables and lists with its key."""
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _values(inner, (*key, str(name)))
    elif isinstance(value, tuple | list):
        for number, inner in enumerate(value):
            yield from _values(inner, (*key, number))
    else:
        yield key, value
