"""Entries made from texts, one for each field: what options and the columns of a table give."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from builder.records.entry_keys import EntryKey, fields_of, name_of
from builder.records.key_faults import MISSING_KEY
from builder.records.models import Mask, Part, Test
from builder.records.problems import Finding, Rule, dotted, quoted
from builder.records.translating import translate

EntryT = TypeVar("EntryT", Mask, Part, Test)

_YES, _NO = frozenset({"yes", "true"}), frozenset({"no", "false"})


@dataclass(frozen=True)
class FieldFault:
    """What is wrong with a field. The name is "" where it is with several together."""

    name: str
    problem: str
    remedy: str


def build(
    model: type[EntryT], texts: Iterable[tuple[str, str]], further: Mapping[str, Any] | None = None
) -> EntryT | list[FieldFault]:
    """Make an entry from the texts of its fields, or give all that is wrong with them.

    A field that holds many values may come several times; words of a list may be joined by +. Empty texts are left out.
    `further` holds what is no field, as tables that are put beside the rest.
    """
    known = {field.name: field for field in fields_of(model)}
    table: dict[str, Any] = {field.path[0]: {} for field in known.values() if len(field.path) > 1 and field.needed}
    faults = []
    for name, text in texts:
        if not (text := text.strip()):
            continue
        try:
            _put(table, known[name], _read(known[name], text))
        except _UnreadableError as error:
            faults.append(FieldFault(name, f"{quoted(text)} {error.args[0]}", error.args[1]))
    for key, inner in (further or {}).items():
        table[key] = {**table.get(key, {}), **inner}
    try:
        entry = model.model_validate(table)
    except ValidationError as error:
        unread = [known[fault.name].path for fault in faults]
        for rule, finding in translate(model, error):
            # An unread value is no second fault where it is missing, nor where it should stand beside another.
            if not any(key[: len(finding.key)] == finding.key for key in unread):
                faults.append(_fault(model, rule, finding))
        return faults
    return faults or entry


class _UnreadableError(Exception):
    """A text that is no value of its field. Its arguments say what it is not, and what to write."""


def _put(table: dict[str, Any], field: EntryKey, value: object) -> None:
    for part in field.path[:-1]:
        table = table.setdefault(part, {})
    if field.many and isinstance(value, tuple):
        value = (*table.get(field.path[-1], ()), *value)
    table[field.path[-1]] = value


def _read(field: EntryKey, text: str) -> object:
    """Read a text as a value of its field. Raises _UnreadableError."""
    if field.many:
        return tuple(part.strip() for part in text.split("+")) if field.words else (text,)
    if field.kind == "yes or no":
        if text.lower() not in _YES | _NO:
            raise _UnreadableError("is neither yes nor no.", "Write yes or no.")
        return text.lower() in _YES
    try:
        if field.kind == "date":
            return dt.date.fromisoformat(text)
        if field.kind in _NUMBERS:
            if "_" in text:  # Python alone reads 1_000 as a number
                raise ValueError
            return _NUMBERS[field.kind](text)
    except ValueError:
        raise _UnreadableError(*_EXPECTED[field.kind]) from None
    return text


_NUMBERS: Mapping[str, type[int | float]] = {"whole number": int, "number": float}


NO_NUMBER = "Write a number with a decimal point, such as 117.5."

_EXPECTED = {
    "date": ("is no date.", "Write year-month-day: 2026-09-12."),
    "whole number": ("is no whole number.", "Write digits without a decimal point, such as 4."),
    "number": ("is no number.", NO_NUMBER),
}


def _fault(model: type[BaseModel], rule: Rule, finding: Finding) -> FieldFault:
    name = name_of(model, dotted(finding.key))
    if rule is MISSING_KEY and (field := next((f for f in fields_of(model) if f.name == name), None)):
        return FieldFault(
            name, f"{name} is missing.", f"Write one of: {', '.join(field.words)}." if field.words else field.meaning
        )
    return FieldFault(name, finding.problem, finding.remedy)
