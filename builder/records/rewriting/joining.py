"""Two spellings of one wearer become one: in the entries, in the names of their files, and old addresses lead on."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from builder.records.checking import check_changed
from builder.records.entries import TestRecord
from builder.records.file_names import test_of
from builder.records.kept_addresses import Renaming
from builder.records.known_entries import KnownEntries
from builder.records.rewriting.address_list import ListedLine
from builder.records.rewriting.entry_changes import (
    CannotChangeError,
    EntryChanges,
    Obstacle,
    Rewriting,
    sound_entries,
)
from builder.records.rewriting.renaming import not_there
from builder.records.rules import same_face


def join_wearers(root: Path, wearer: str, spelling: str, today: date) -> EntryChanges:
    """Work out what changes when tests of `spelling` become tests of `wearer`. Raises CannotChangeError.

    Faces that contradict each other are named with file and line: of two people's tests no one's can be made.
    """
    entries = sound_entries(root)
    wearers = {record.test.face.wearer for record in entries.tests}
    own = [record for record in entries.tests if record.test.face.wearer == spelling]
    obstacles = [not_there("wearer", name, wearers) for name in (wearer, spelling) if name not in wearers]
    if wearer == spelling:
        obstacles.append(Obstacle("These are the same spelling.", "Name the right one first, then the other."))
    if obstacles:
        raise CannotChangeError(obstacles)
    _check_faces(root, own, wearer)
    rewriting = Rewriting(root)
    tests = [
        record.test.model_copy(update={"face": record.test.face.model_copy(update={"wearer": wearer})})
        for record in own
    ]
    places = dict(zip((record.id for record in own), KnownEntries(root).places(tests), strict=True))
    ids = {old: test_of(path) for old, path in places.items()}
    for record in own:
        rewriting.write(record, {("face", "wearer"): wearer}, places[record.id])

    def leads_on(line: ListedLine) -> ListedLine:
        if not isinstance(line, Renaming):
            return line
        return line.model_copy(update={"to": tuple(ids.get(name, name) for name in line.to)})

    lines = [Renaming(test=old, to=(new,), date=today) for old, new in ids.items()]
    rewriting.addresses = rewriting.addresses.with_lines(leads_on).and_lines(lines)
    return rewriting.changes()


def _check_faces(root: Path, own: list[TestRecord], wearer: str) -> None:
    """Raise CannotChangeError for faces that contradict each other, by the places where they stand now."""
    there = Rewriting(root)
    for record in own:
        there.write(record, {("face", "wearer"): wearer})
    problems = [p for p in check_changed(root, there.contents, ()) if p.rule == same_face.RULE.name]
    if problems:
        raise CannotChangeError(
            [Obstacle("These are not one face.", "Correct the one that is wrong; if both are right, join nobody.")],
            problems,
        )
