"""What is left of a faulty entry, so that rules can look at the rest of it in the same round.

A faulty value is left out, or where an entry cannot do without it another stands in. What rules then find in the
fault itself is none of the contributor's: a missing result is no second problem where the first is a mistyped one.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import BaseModel, ValidationError

from builder.records import key_faults
from builder.records.entries import MODELS, EntryFile, Record, record_of
from builder.records.entry_keys import keys_in
from builder.records.kept_addresses import Removed
from builder.records.models import Mask, Part, Test
from builder.records.problems import Finding, Key, Rule
from builder.records.translating import Detail, details_of, translated

_MOST_ROUNDS = 20
"""A round leaves at least one key out, and nothing is needed at this many levels."""

# What says nothing that a rule could object to.
_STAND_INS: Mapping[type[BaseModel], Mapping[Key, object]] = {
    Mask: {("model",): "?", ("maker",): "?", ("style",): "other", ("class",): "none"},
    Part: {
        ("name",): "?",
        ("slot",): "other",
        ("material",): "?",
        ("fitting",): "?",
        ("can_be_undone",): True,
    },
    Test: {
        ("mask",): "left-out",
        ("date",): dt.date(2000, 1, 1),
        ("contributor",): "left-out",
        ("face",): {"wearer": "left-out", "facial_hair": "none"},
        ("face", "wearer"): "left-out",
        ("face", "facial_hair"): "none",
        ("result",): {"protocol": "free"},
        ("result", "protocol"): "free",
    },
    Removed: {},
}


@dataclass
class _Faults:
    """The keys that were left out, and those for which something stands in."""

    left_out: set[Key] = field(default_factory=set)
    stand_ins: set[Key] = field(default_factory=set)

    def explain(self, detail: Detail) -> bool:
        """Whether an error would not be there without them."""
        key: Key = detail["loc"]
        gone = self.left_out | self.stand_ins
        if detail["type"] in key_faults.TOGETHER:
            return any((*key, name) in gone for name in key_faults.TOGETHER[detail["type"]].keys)
        return any(_begins(key, with_=fault) for fault in gone)


@dataclass(frozen=True)
class Remainder:
    """The record that is left, the keys without which it was made, and those that something stands in for."""

    record: Record
    left_out: frozenset[Key]
    stand_ins: frozenset[Key]

    def explains(self, key: Key) -> bool:
        """Whether what is found at a key may come of what is not there."""
        if not key:
            return False
        return any(_begins(key, with_=fault) for fault in self.stand_ins | self.left_out) or any(
            _begins(fault, with_=key) for fault in self.left_out
        )


def salvage(
    file: EntryFile, table: dict[str, Any], error: ValidationError
) -> tuple[list[tuple[Rule, Finding]], Remainder | None]:
    """Give everything that is wrong with the values of an entry, and what is left of it; `table` is taken apart."""
    model = MODELS[file.kind]
    found: list[tuple[Rule, Finding]] = []
    faults = _Faults()
    for _ in range(_MOST_ROUNDS):
        details = details_of(error)
        found += [translated(model, detail) for detail in details if not faults.explain(detail)]
        # From the last to the first: places in lists before it stay as they are.
        for detail in sorted(details, key=lambda detail: str(detail["loc"]), reverse=True):
            _take_apart(model, table, detail, faults)
        try:
            record = record_of(file, model.model_validate(table))
        except ValidationError as rest:
            error = rest
            continue
        return found, Remainder(record, frozenset(faults.left_out), frozenset(faults.stand_ins))
    return found, None


def _take_apart(model: type[BaseModel], table: dict[str, Any], detail: Detail, faults: _Faults) -> None:
    key: Key = detail["loc"]
    if detail["type"] in key_faults.TOGETHER and not any(isinstance(part, int) for part in key):
        for name in key_faults.TOGETHER[detail["type"]].keys:
            _leave_out(table, (*key, name))
            faults.left_out.add((*key, name))
    elif detail["type"] == "extra_forbidden":
        _leave_out(table, key)
        if meant := key_faults.meant(str(key[-1]), tuple(keys_in(model, key[:-1]))):
            faults.left_out.add((*key[:-1], meant))
    elif key in (stand_ins := _STAND_INS[model]):
        _put(table, key, stand_ins[key])
        faults.stand_ins.add(key)
    else:
        # Where a key without a stand-in is missing, the table cannot be kept that needs it.
        whole = key[:-1] if detail["type"] == "missing" else key
        faults.left_out.add(_leave_out(table, whole))


def _leave_out(table: Any, key: Key) -> Key:
    """Delete a value, in a list the whole list: its other items would mean something else. Give what was deleted."""
    for place, part in enumerate(key[:-1]):
        inner = table.get(part)
        if not isinstance(inner, dict):
            key = key[: place + 1]
            break
        table = inner
    if key:
        table.pop(key[-1], None)
    return key


def _put(table: dict[str, Any], key: Key, value: object) -> None:
    for part in key[:-1]:
        table = table[str(part)]
    table[str(key[-1])] = dict(value) if isinstance(value, dict) else value


def _begins(key: Key, *, with_: Key) -> bool:
    return key[: len(with_)] == with_
