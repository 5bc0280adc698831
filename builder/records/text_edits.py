"""Changing values in the text of an entry and leaving all the rest of it as it is: remarks, order, spaces."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from contextlib import suppress
from copy import deepcopy
from typing import Any

from builder.records.key_changes import plain_values
from builder.records.models import Entry
from builder.records.positions import value_spans
from builder.records.problems import Key
from builder.records.toml_text import to_toml, toml_value


class UneditableError(Exception):
    """The text cannot be changed at a place without changing or losing more."""


def with_values(text: str, values: Mapping[Key, object]) -> str:
    """Write other values in the places of those that are there. Raises UneditableError where that cannot be done."""
    spans = value_spans(text)
    wanted = tomllib.loads(text)
    changed = text
    for key in sorted(values, key=lambda key: spans.get(key, (0, 0)), reverse=True):
        if key not in spans:
            raise UneditableError
        start, end = spans[key]
        changed = changed[:start] + _written(values[key], text[start:end]) + changed[end:]
        wanted = _with(wanted, key, values[key])
    if tomllib.loads(changed) != wanted:
        raise UneditableError
    return changed


def rewritten(text: str, before: Entry, after: Entry) -> str:
    """Give the text of an entry as it is `after`, where it says `before`.

    In place where only values differ; else anew, where that loses no remark. Raises UneditableError where it does.
    """
    old, new = plain_values(before), plain_values(after)
    if old.keys() == new.keys():
        with suppress(UneditableError):
            return with_values(text, {key: value for key, value in new.items() if old[key] != value})
    if text != to_toml(before) and any("#" in line for line in text.split("\n")[1:]):
        raise UneditableError
    return to_toml(after)


def _written(value: object, before: str) -> str:
    """Write a value in the quotation marks that were there."""
    if before.startswith("'") and not before.startswith("'''") and isinstance(value, str) and "'" not in value:
        return f"'{value}'" if value.isprintable() else toml_value(value)
    return toml_value(value)


def _with(table: dict[str, Any], key: Key, value: object) -> dict[str, Any]:
    changed: Any = deepcopy(table)
    inner = changed
    for part in key[:-1]:
        inner = inner[part]
    inner[key[-1]] = list(value) if isinstance(value, tuple) else value
    return dict(changed)
