"""The keys of an entry as flat fields, each with a name that serves as option and as column, read from text."""

from __future__ import annotations

import datetime as dt
import types
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from builder.records.key_faults import MISSING_KEY
from builder.records.models import Mask, Part, Test
from builder.records.problems import Finding, Rule, dotted, quoted
from builder.records.translating import translate
from builder.records.vocabulary import Word

EntryT = TypeVar("EntryT", Mask, Part, Test)

_PREFIXED = frozenset({"filter", "section"})
"""Tables whose keys mean nothing without the name of the table."""

_YES, _NO = frozenset({"yes", "true"}), frozenset({"no", "false"})


@dataclass(frozen=True)
class Field:
    """One value of an entry: what it is called, where it stands, what it may hold.

    `kind` is the type of the value, or of each one where `many`; `default` is None where the value may be left out
    without one.
    """

    name: str
    key: tuple[str, ...]
    kind: type
    many: bool
    required: bool
    default: object
    meaning: str

    @property
    def option(self) -> str:
        """The field as an option of a command."""
        return f"--{self.name.replace('_', '-')}"

    @property
    def words(self) -> tuple[str, ...]:
        """The words that the field may hold, none if it is no field of words."""
        return tuple(word.value for word in self.kind) if issubclass(self.kind, Word) else ()


@dataclass(frozen=True)
class Fault:
    """What is wrong with a field. The name is "" where it is with several together."""

    name: str
    problem: str
    remedy: str


@cache
def fields_of(model: type[BaseModel]) -> tuple[Field, ...]:
    """Give the fields of a kind of entry in the model's order. Lists of tables are left out: they are no fields."""
    return tuple(_fields(model, ()))


def build(
    model: type[EntryT], texts: Iterable[tuple[str, str]], further: Mapping[str, Any] | None = None
) -> EntryT | list[Fault]:
    """Make an entry from the texts of its fields, or give all that is wrong with them.

    A field that holds many values may come several times; words of a list may be joined by +. Empty texts are left out.
    `further` holds what is no field, as tables that are put beside the rest.
    """
    known = {field.name: field for field in fields_of(model)}
    table: dict[str, Any] = {field.key[0]: {} for field in known.values() if len(field.key) > 1 and field.required}
    faults = []
    for name, text in texts:
        if not (text := text.strip()):
            continue
        try:
            _put(table, known[name], _read(known[name], text))
        except _UnreadableError as error:
            faults.append(Fault(name, f"{quoted(text)} {error.args[0]}", error.args[1]))
    for key, inner in (further or {}).items():
        table[key] = {**table.get(key, {}), **inner}
    try:
        entry = model.model_validate(table)
    except ValidationError as error:
        unread = [known[fault.name].key for fault in faults]
        for rule, finding in translate(model, error):
            # An unread value is no second fault where it is missing, nor where it should stand beside another.
            if not any(key[: len(finding.key)] == finding.key for key in unread):
                faults.append(_fault(model, rule, finding))
        return faults
    return faults or entry


def name_of(model: type[BaseModel], key: str) -> str:
    """Name the field at a dotted key or in the list there. A key that is no field stays as it is."""
    return next((field.name for field in fields_of(model) if dotted(field.key) == key.partition("[")[0]), key)


class _UnreadableError(Exception):
    """A text that is no value of its field. Its arguments say what it is not, and what to write."""


def _fields(model: type[BaseModel], path: tuple[str, ...]) -> Iterator[Field]:
    for attribute, info in model.model_fields.items():
        name = info.alias or attribute
        kinds = list(_classes(info.annotation))
        many = any(get_origin(t) is tuple for t in (info.annotation, *get_args(info.annotation)))
        if issubclass(kinds[0], BaseModel):
            if not many:
                yield from _fields(kinds[0], (*path, name))
            continue
        yield Field(
            name=f"{path[0]}_{name}" if path and path[0] in _PREFIXED else name,
            key=(*path, name),
            kind=kinds[0],
            many=many,
            required=info.is_required() and (not path or path[0] not in _PREFIXED),
            default=None if info.is_required() else info.default,
            meaning=info.description or "",
        )


def _classes(annotation: Any) -> Iterator[type]:
    """Give the classes inside an annotation such as `tuple[Leak, ...] | None`, None left out."""
    if get_origin(annotation) in (Union, types.UnionType, tuple):
        for argument in get_args(annotation):
            yield from _classes(argument)
    elif hasattr(annotation, "__metadata__"):
        yield from _classes(annotation.__origin__)
    elif isinstance(annotation, type) and annotation is not types.NoneType:
        yield annotation


def _put(table: dict[str, Any], field: Field, value: object) -> None:
    for part in field.key[:-1]:
        table = table.setdefault(part, {})
    if field.many and isinstance(value, tuple):
        value = (*table.get(field.key[-1], ()), *value)
    table[field.key[-1]] = value


def _read(field: Field, text: str) -> object:
    """Read a text as a value of its field. Raises _UnreadableError."""
    if field.many:
        return tuple(part.strip() for part in text.split("+")) if field.words else (text,)
    if issubclass(field.kind, bool):
        if text.lower() not in _YES | _NO:
            raise _UnreadableError("is neither yes nor no.", "Write yes or no.")
        return text.lower() in _YES
    try:
        if issubclass(field.kind, dt.date):
            return dt.date.fromisoformat(text)
        if issubclass(field.kind, int | float):
            if "_" in text:  # Python alone reads 1_000 as a number
                raise ValueError
            return field.kind(text)
    except ValueError:
        raise _UnreadableError(*_EXPECTED[field.kind]) from None
    return text


_EXPECTED = {
    dt.date: ("is no date.", "Write year-month-day: 2026-09-12."),
    int: ("is no whole number.", "Write digits without a decimal point, such as 4."),
    float: ("is no number.", "Write a number with a decimal point, such as 117.5."),
}


def _fault(model: type[BaseModel], rule: Rule, finding: Finding) -> Fault:
    name = name_of(model, dotted(finding.key))
    if rule is MISSING_KEY and (field := next((f for f in fields_of(model) if f.name == name), None)):
        return Fault(
            name, f"{name} is missing.", f"Write one of: {', '.join(field.words)}." if field.words else field.meaning
        )
    return Fault(name, finding.problem, finding.remedy)
