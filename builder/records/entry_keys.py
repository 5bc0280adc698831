"""The keys of entries: where each stands, what it may hold, what it means.

Read from the JSON Schemas, as the form on the site and editors read them: options, columns, messages and the form have
one source, and nothing else looks into the models.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from pydantic import BaseModel

from builder.records import vocabulary
from builder.records.problems import Key, dotted
from builder.records.schemas import schema
from builder.records.vocabulary import Word

ValueKind = Literal["text", "number", "whole number", "yes or no", "date", "table"]

_KINDS: Mapping[str, ValueKind] = {
    "string": "text",
    "number": "number",
    "integer": "whole number",
    "boolean": "yes or no",
    "object": "table",
}
_NAMED_WITH_TABLE = frozenset({"filter", "section", "specimen"})
"""Tables whose keys mean nothing without the name of the table."""


@dataclass(frozen=True)
class EntryKey:
    """A key of an entry. `path` leads to it from the top of the file.

    `kind` is that of the value, or of each one where `many`. `words` are the only ones that a text may be, if there are
    any; `keys` those of a table. `least` and `most` bound a number. `needed` is what no entry can do without;
    `default` is None where the value may be left out without one.
    """

    path: tuple[str, ...]
    kind: ValueKind
    many: bool
    needed: bool
    default: object
    meaning: str
    words: tuple[Word, ...]
    least: float | None
    most: float | None
    keys: Mapping[str, EntryKey]

    @property
    def name(self) -> str:
        """What it is called where entries are flat: as a column, and as an option."""
        return f"{self.path[0]}_{self.path[-1]}" if self.path[0] in _NAMED_WITH_TABLE else self.path[-1]

    @property
    def option(self) -> str:
        """The key as an option of a command."""
        return f"--{self.name.replace('_', '-')}"


@cache
def keys_of(model: type[BaseModel]) -> Mapping[str, EntryKey]:
    """Give the keys at the top of a kind of entry, in the model's order."""
    whole = schema(model)
    return _keys(whole, whole.get("$defs", {}), (), True)


@cache
def fields_of(model: type[BaseModel]) -> tuple[EntryKey, ...]:
    """Give the keys that hold values, in the model's order. What stands in lists of tables is left out."""
    return tuple(_fields(keys_of(model)))


@cache
def values_of(model: type[BaseModel]) -> Mapping[str, EntryKey]:
    """Give every key that holds values by its dotted path, what stands in lists of tables included."""
    tables = _tables("", keys_of(model))
    return {dotted(key.path): key for _, keys in tables for key in keys.values() if not key.keys}


def name_of(model: type[BaseModel], key: str) -> str:
    """Name the field at a dotted key or in the list there. A key that is no field stays as it is."""
    return next((field.name for field in fields_of(model) if dotted(field.path) == key.partition("[")[0]), key)


def keys_in(model: type[BaseModel], table: Key) -> Mapping[str, EntryKey]:
    """Give the keys of a table, or of each table in a list; () is the top of the file."""
    keys = keys_of(model)
    for part in table:
        if isinstance(part, str):
            keys = keys[part].keys
    return keys


def key_at(model: type[BaseModel], key: Key) -> EntryKey:
    """Give what is known of a key, which for an item of a list is that of the list."""
    *table, name = (part for part in key if isinstance(part, str))
    return keys_in(model, tuple(table))[name]


@cache
def tables_with(model: type[BaseModel], name: str) -> tuple[str, ...]:
    """Name the tables of a model that have a key, "" for the top of the file."""
    return tuple(path for path, keys in _tables("", keys_of(model)) if name in keys)


def _tables(path: str, keys: Mapping[str, EntryKey]) -> Iterator[tuple[str, Mapping[str, EntryKey]]]:
    yield path, keys
    for name, key in keys.items():
        if key.keys:
            yield from _tables(f"{path}.{name}".lstrip("."), key.keys)


def _fields(keys: Mapping[str, EntryKey]) -> Iterator[EntryKey]:
    for key in keys.values():
        if not key.keys:
            yield key
        elif not key.many:
            yield from _fields(key.keys)


def _keys(
    table: Mapping[str, Any], definitions: Mapping[str, Any], above: tuple[str, ...], needed: bool
) -> dict[str, EntryKey]:
    required = table.get("required", ())
    return {
        name: _key(said, definitions, (*above, name), needed and name in required)
        for name, said in table["properties"].items()
    }


def _key(said: Mapping[str, Any], definitions: Mapping[str, Any], path: tuple[str, ...], needed: bool) -> EntryKey:
    many = said.get("type") == "array"
    item = said["items"] if many else said
    defined = item.get("$ref", "").rpartition("/")[2]
    value = definitions[defined] if defined else item
    is_table = value["type"] == "object"
    return EntryKey(
        path=path,
        kind="date" if value.get("format") == "date" else _KINDS[value["type"]],
        many=many,
        needed=needed,
        default=said.get("default"),
        meaning=said.get("description", value.get("description", "")),
        words=tuple(getattr(vocabulary, defined)) if defined and not is_table else (),
        least=value.get("minimum"),
        most=value.get("maximum"),
        keys=_keys(value, definitions, path, needed) if is_table else {},
    )
