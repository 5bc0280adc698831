"""New, changed and removed records, key by key; new faces, and what a removal still asks for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

import pandas as pd
from pydantic import BaseModel

from builder.fit.panel import CELLS
from builder.records.entries import Kind, MaskRecord, PartRecord, Record, TestRecord, kind_of
from builder.records.models import Entry, Removal, configuration_id
from builder.records.overall import is_planned, overall
from builder.records.problems import Key, dotted, quoted
from builder.review.states import States

What = Literal["new", "changed", "removed"]


@dataclass(frozen=True)
class KeyChange:
    """A value that differs, as it stands in the file; "" where the key is not there."""

    key: str
    before: str
    after: str


@dataclass(frozen=True)
class NewReading:
    """What a new test says: configuration, overall fit factor, protocol, and why it does not count, if so."""

    configuration: str
    fit_factor: float
    at_least: bool
    protocol: str
    set_aside: str


@dataclass(frozen=True)
class Change:
    """A record that differs between the two states. `keys` only of one that was there before and after.

    `reading` only of a new test with a result; one without any is `planned`.
    """

    kind: Kind
    id: str
    path: str
    what: What
    keys: tuple[KeyChange, ...] = ()
    reading: NewReading | None = None
    planned: bool = False


@dataclass(frozen=True)
class NewFace:
    """A wearer who had no test before."""

    wearer: str
    cell: str
    nose_bridge: str
    tests: int


@dataclass(frozen=True)
class Faces:
    """Wearers with their first tests, and panel cells with their first wearer."""

    new: tuple[NewFace, ...]
    newly_covered: tuple[str, ...]


def changes(states: States) -> tuple[Change, ...]:
    """List every record that differs, sorted by path. A file that cannot be read any more is a problem, no change."""
    found = []
    for path in sorted(states.before.keys() | states.after.keys()):
        before, after = states.before.get(path), states.after.get(path)
        kind = kind_of(path)
        assert kind is not None  # only entries are read
        if before is None:
            assert after is not None
            found.append(Change(kind, after.id, path, "new", reading=_reading(after), planned=_planned(after)))
        elif after is not None:
            if keys := tuple(_key_changes(_entry(before), _entry(after))):
                found.append(Change(kind, after.id, path, "changed", keys))
        elif path not in states.there:
            found.append(Change(kind, before.id, path, "removed"))
    return tuple(found)


def _reading(record: Record) -> NewReading | None:
    if not isinstance(record, TestRecord):
        return None
    test = record.test
    try:
        read = overall(test.result)
    except ValueError:
        return None  # the check says so
    return NewReading(
        configuration_id(test.mask, test.configuration),
        read.fit_factor,
        read.at_least,
        test.result.protocol.value,
        test.result.set_aside or "",
    )


def _planned(record: Record) -> bool:
    return isinstance(record, TestRecord) and is_planned(record.test.result)


def without_reason(states: States, found: tuple[Change, ...]) -> tuple[Change, ...]:
    """Give the tests and masks that were removed without a line in removed.toml."""
    listed = {(kind, name) for kind, name in map(_subject, states.new.entries.removed)}
    return tuple(
        c for c in found if c.what == "removed" and c.kind in ("test", "mask") and (c.kind, c.id) not in listed
    )


def newly_listed(states: States) -> tuple[Removal, ...]:
    """Give the lines that are new in removed.toml."""
    before = set(states.old.entries.removed)
    return tuple(removal for removal in states.new.entries.removed if removal not in before)


def faces(old: pd.DataFrame, new: pd.DataFrame) -> Faces:
    """Compare the wearers of two tidy tables."""
    first = new[~new["wearer"].isin(set(old["wearer"]))]
    wearers = first.groupby("wearer", sort=True).agg(
        cell=("cell", "first"), nose_bridge=("nose_bridge", "first"), tests=("test", "size")
    )
    covered = _cells(new) - _cells(old)
    return Faces(
        tuple(
            NewFace(row["wearer"], row["cell"], row["nose_bridge"], row["tests"])
            for row in wearers.reset_index().to_dict("records")
        ),
        tuple(cell.name for cell in CELLS if cell.name in covered),
    )


def _cells(table: pd.DataFrame) -> set[str]:
    return set(table.loc[table["counted"].to_numpy(bool), "cell"])


def _subject(removal: Removal) -> tuple[Kind, str]:
    return ("mask", removal.mask) if removal.mask else ("test", removal.test or "")


def _entry(record: Record) -> Entry:
    if isinstance(record, TestRecord):
        return record.test
    if isinstance(record, MaskRecord):
        return record.mask
    return record.part if isinstance(record, PartRecord) else record.removed


def _key_changes(before: BaseModel, after: BaseModel) -> Iterator[KeyChange]:
    if before == after:
        return
    old, new = (dict(_values(entry.model_dump(by_alias=True, exclude_defaults=True))) for entry in (before, after))
    for key in [*old, *(key for key in new if key not in old)]:
        if key not in old or key not in new or old[key] != new[key]:
            yield KeyChange(dotted(key), *(_shown(side[key]) if key in side else "" for side in (old, new)))


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
