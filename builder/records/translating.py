"""What a model refuses, said in plain sentences: one finding an error, by the rule that the error belongs to."""

from __future__ import annotations

import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from builder.records import key_faults, value_faults
from builder.records.problems import Finding, Key, Rule
from builder.records.rules import pseudonym
from builder.records.vocabulary import Word


@dataclass(frozen=True)
class KnownKey:
    """What a key may hold: a table of further keys, or words of a list, or neither; and what it means."""

    table: type[BaseModel] | None
    words: tuple[Word, ...]
    meaning: str


def translate(model: type[BaseModel], error: ValidationError) -> Iterator[tuple[Rule, Finding]]:
    """Turn each error into a finding of the rule it breaks."""
    for detail in error.errors(include_url=False):
        key: Key = detail["loc"]
        kind, value, limits = detail["type"], detail["input"], detail.get("ctx", {})
        if kind == "extra_forbidden":
            known = fields(_table(model, key[:-1]))
            yield key_faults.UNKNOWN_KEY, key_faults.unknown_key(key, tuple(known), tables_with(model, str(key[-1])))
        elif kind == "missing":
            field = field_at(model, key)
            yield key_faults.MISSING_KEY, key_faults.missing_key(key, field.meaning, field.words)
        elif kind == "enum":
            yield value_faults.UNKNOWN_WORD, value_faults.unknown_word(key, value, field_at(model, key).words)
        elif kind == "string_pattern_mismatch" and (finding := pseudonym.personal(key, value)):
            yield pseudonym.RULE, finding
        elif kind == "string_pattern_mismatch":
            yield value_faults.TEXT_FORM, value_faults.malformed(key, value, limits["pattern"])
        elif kind in value_faults.RANGE_ERRORS:
            yield value_faults.VALUE_RANGE, value_faults.out_of_range(kind, key, value, limits)
        elif kind in key_faults.TOGETHER_ERRORS:
            yield key_faults.BELONG_TOGETHER, key_faults.incomplete(kind, key, detail["msg"])
        else:
            yield value_faults.VALUE_TYPE, value_faults.wrong_type(kind, key, value)


@cache
def fields(table: type[BaseModel]) -> Mapping[str, KnownKey]:
    """Give the keys of a table as they stand in TOML, each with what it may hold."""
    known = {}
    for name, info in table.model_fields.items():
        inner = tuple(_plain_types(info.annotation))
        known[info.alias or name] = KnownKey(
            table=next((t for t in inner if issubclass(t, BaseModel)), None),
            words=tuple(word for t in inner if issubclass(t, Word) for word in t),
            meaning=info.description or "",
        )
    return known


@cache
def tables_with(model: type[BaseModel], name: str) -> tuple[str, ...]:
    """Name the tables of a model that have a key, "" for the top of the file."""
    return tuple(path for path, table in _tables(model) if name in fields(table))


def field_at(model: type[BaseModel], key: Key) -> KnownKey:
    """Give the field behind a key of a model, which for an item of a list is that of the list."""
    names = [part for part in key if isinstance(part, str)]
    return fields(_table(model, tuple(names[:-1])))[names[-1]]


def _tables(model: type[BaseModel], path: str = "") -> Iterator[tuple[str, type[BaseModel]]]:
    yield path, model
    for name, field in fields(model).items():
        if field.table:
            yield from _tables(field.table, f"{path}.{name}".lstrip("."))


def _table(model: type[BaseModel], key: Key) -> type[BaseModel]:
    for part in key:
        if isinstance(part, str):
            table = fields(model)[part].table
            assert table is not None, f"{part} is no table"
            model = table
    return model


def _plain_types(annotation: Any) -> Iterator[type]:
    """Give the classes inside an annotation such as `tuple[Leak, ...] | None`."""
    if get_origin(annotation) in (Union, types.UnionType, tuple):
        for argument in get_args(annotation):
            yield from _plain_types(argument)
    elif hasattr(annotation, "__metadata__"):
        yield from _plain_types(annotation.__origin__)
    elif isinstance(annotation, type):
        yield annotation
