"""What a model refuses, said in plain sentences: one finding an error, by the rule that the error belongs to."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import BaseModel, ValidationError

from builder.records import key_faults, value_faults
from builder.records.entry_keys import key_at, keys_in, tables_with
from builder.records.problems import Finding, Key, Rule
from builder.records.rules import pseudonym


def translate(model: type[BaseModel], error: ValidationError) -> Iterator[tuple[Rule, Finding]]:
    """Turn each error into a finding of the rule it breaks."""
    for detail in error.errors(include_url=False):
        key: Key = detail["loc"]
        kind, value, limits = detail["type"], detail["input"], detail.get("ctx", {})
        if kind == "extra_forbidden":
            known = keys_in(model, key[:-1])
            yield key_faults.UNKNOWN_KEY, key_faults.unknown_key(key, tuple(known), tables_with(model, str(key[-1])))
        elif kind == "missing":
            missing = key_at(model, key)
            yield key_faults.MISSING_KEY, key_faults.missing_key(key, missing.meaning, missing.words)
        elif kind == "enum":
            yield value_faults.UNKNOWN_WORD, value_faults.unknown_word(key, value, key_at(model, key).words)
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
