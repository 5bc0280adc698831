"""What a model refuses, said in plain sentences: one finding an error, by the rule that the error belongs to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel, ValidationError

from builder.records import key_faults, value_faults
from builder.records.entry_keys import key_at, keys_in, tables_with
from builder.records.problems import Finding, Key, Rule
from builder.records.rules import pseudonym

Detail = Mapping[str, Any]
"""One error as pydantic tells it: `loc`, `type`, `input`, `msg`, and `ctx` with the limits."""


def details_of(error: ValidationError) -> list[Detail]:
    """Give each error of a refusal."""
    return list(error.errors(include_url=False))


def translate(model: type[BaseModel], error: ValidationError) -> Iterator[tuple[Rule, Finding]]:
    """Turn each error into a finding of the rule it breaks."""
    return (translated(model, detail) for detail in details_of(error))


def translated(model: type[BaseModel], detail: Detail) -> tuple[Rule, Finding]:
    """Turn an error into a finding of the rule it breaks."""
    key: Key = detail["loc"]
    kind, value, limits = detail["type"], detail["input"], detail.get("ctx", {})
    if kind in ("extra_forbidden", "missing") or kind in key_faults.TOGETHER:
        return _of_key(model, detail)
    if kind == "enum":
        return value_faults.UNKNOWN_WORD, value_faults.unknown_word(key, value, key_at(model, key).words)
    if kind == "string_pattern_mismatch":
        if finding := pseudonym.personal(key, value):
            return pseudonym.RULE, finding
        return value_faults.TEXT_FORM, value_faults.malformed(key, value, limits["pattern"])
    if kind in value_faults.RANGE_ERRORS:
        return value_faults.VALUE_RANGE, value_faults.out_of_range(kind, key, value, limits)
    return value_faults.VALUE_TYPE, value_faults.wrong_type(kind, key, value)


def _of_key(model: type[BaseModel], detail: Detail) -> tuple[Rule, Finding]:
    key: Key = detail["loc"]
    if detail["type"] == "extra_forbidden":
        known = keys_in(model, key[:-1])
        return key_faults.UNKNOWN_KEY, key_faults.unknown_key(key, tuple(known), tables_with(model, str(key[-1])))
    if detail["type"] == "missing":
        missing = key_at(model, key)
        return key_faults.MISSING_KEY, key_faults.missing_key(key, missing.meaning, missing.words)
    return key_faults.BELONG_TOGETHER, key_faults.incomplete(detail["type"], key, detail["msg"])
