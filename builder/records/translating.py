"""What a model refuses, said in plain sentences: one finding an error, by the rule that the error belongs to."""

from __future__ import annotations

import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from builder.records.problems import Finding, Key
from builder.records.rules import (
    belong_together,
    missing_key,
    pseudonym,
    text_form,
    unknown_key,
    unknown_word,
    value_range,
    value_type,
)
from builder.records.rules.base import Rule
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
            yield unknown_key.RULE, unknown_key.unknown(key, tuple(known), tables_with(model, str(key[-1])))
        elif kind == "missing":
            field = field_at(model, key)
            yield missing_key.RULE, missing_key.missing(key, field.meaning, field.words)
        elif kind == "enum":
            yield unknown_word.RULE, unknown_word.unknown(key, value, field_at(model, key).words)
        elif kind == "string_pattern_mismatch" and (finding := pseudonym.personal(key, value)):
            yield pseudonym.RULE, finding
        elif kind == "string_pattern_mismatch":
            yield text_form.RULE, text_form.malformed(key, value, limits["pattern"])
        elif kind in value_range.ERROR_TYPES:
            yield value_range.RULE, value_range.out_of_range(kind, key, value, limits)
        elif kind in belong_together.ERROR_TYPES:
            yield belong_together.RULE, belong_together.incomplete(kind, key, detail["msg"])
        else:
            yield value_type.RULE, value_type.wrong_type(kind, key, value)


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
