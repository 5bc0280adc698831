"""New, changed and removed records, key by key; new faces, and what a removal still asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import pandas as pd

from builder.fit.panel import CELLS
from builder.records.entries import Kind, MaskRecord, PartRecord, Record, TestRecord, kind_of
from builder.records.kept_addresses import Removal
from builder.records.key_changes import KeyChange, key_changes
from builder.records.models import Entry, configuration_id
from builder.records.overall import is_planned, overall
from builder.records.picture_files import is_picture
from builder.review.states import States

What = Literal["new", "changed", "removed"]


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
class PictureChange:
    """A picture beside an entry that differs between the two states."""

    path: str
    what: What
    bytes: int
    """Its size afterwards, 0 for one that is gone."""


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
            if keys := tuple(key_changes(_entry(before), _entry(after))):
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


def picture_changes(states: States) -> tuple[PictureChange, ...]:
    """List every picture that differs, sorted by path."""
    found = []
    for path in sorted(filter(is_picture, states.changed)):
        was = path in states.pictures_before
        what: What = "removed" if path not in states.there else "changed" if was else "new"
        found.append(PictureChange(path, what, states.pictures_after.get(path, 0)))
    return tuple(found)


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
