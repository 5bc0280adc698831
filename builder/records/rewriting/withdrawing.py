"""The tests of a wearer or a contributor go, and their name goes with them: what stays in their place names neither."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Literal

from builder.records.entries import Entries, TestRecord
from builder.records.file_names import name_parts, test_of
from builder.records.kept_addresses import Removal, Renaming, Withdrawal
from builder.records.kept_bench import FILE, KeptBench, KeptBenchError
from builder.records.problems import printable
from builder.records.rewriting.address_list import ListedLine
from builder.records.rewriting.entry_changes import CannotChangeError, EntryChanges, Rewriting, sound_entries
from builder.records.rewriting.renaming import not_there

Person = Literal["wearer", "contributor"]
REASON = "Withdrawn at the wish of somebody concerned."
IN_HISTORY = (
    "git keeps what was committed before: where the name has to go from there too, its history must be rewritten."
)


def withdraw_person(root: Path, kind: Person, name: str, reason: str, today: date) -> EntryChanges:
    """Work out what changes when all tests of a person are withdrawn. Raises CannotChangeError."""
    entries = sound_entries(root)
    own = [record for record in entries.tests if _person(record, kind) == name]
    gone = {record.id for record in own}
    of_name = {line.test for line in entries.removed if line.test and kind == "wearer" and _wearer(line.test) == name}
    if not gone and not of_name:
        people = {_person(record, kind) for record in entries.tests}
        raise CannotChangeError([not_there(kind, name, people)])
    rewriting = Rewriting(root)
    rewriting.gone += [record.path for record in own]

    def kept(line: ListedLine) -> ListedLine | None:
        if isinstance(line, Removal):
            return None if line.test in of_name else line
        if isinstance(line, Renaming) and line.test:
            named = kind == "wearer" and name in map(_wearer, (line.test, *line.to))
            return None if named or gone.intersection(line.to) else line
        return line

    tests = Counter(test.partition("/")[0] for test in sorted(gone | of_name))
    lines = [Withdrawal(mask=mask, tests=number, date=today, reason=reason) for mask, number in tests.items()]
    rewriting.addresses = rewriting.addresses.with_lines(kept).and_lines(lines)
    changes = rewriting.changes([*_still_named(root, entries, name, gone), IN_HISTORY])
    return _forgotten(root, kind, name, changes)


def _forgotten(root: Path, kind: Person, name: str, changes: EntryChanges) -> EntryChanges:
    """Add that what the folder remembers of the bench names the person no more."""
    try:
        kept = KeptBench.of(root)
    except KeptBenchError as error:
        return replace(changes, notes=(*changes.notes, str(error)))
    takes = {take.path for take in kept.takes if kind == "wearer" and _wearer(test_of(take.path)) == name}
    after = kept.without_person(kind, name, {*changes.gone, *takes})
    if after == kept:
        return changes
    contents = {**changes.contents, FILE: after.as_text().encode()}
    return replace(changes, contents=contents, instead_of={**changes.instead_of, FILE: FILE})


def _person(record: TestRecord, kind: Person) -> str:
    return record.test.face.wearer if kind == "wearer" else record.test.contributor


def _wearer(test: str) -> str:
    name = name_parts(test.partition("/")[2])
    return name.wearer if name else ""


def _still_named(root: Path, entries: Entries, name: str, gone: set[str]) -> Iterator[str]:
    """Say where else the name stands: in remarks, and in tests in which somebody bears it in the other role."""
    word = re.compile(rf"(?<![a-z0-9-]){re.escape(name)}(?![a-z0-9-])")
    left = [mask.path for mask in entries.masks.values()] + [part.path for part in entries.parts.values()]
    left += [record.path for record in entries.tests if record.id not in gone]
    for path in left:
        for number, line in enumerate((root / path).read_text("utf-8-sig").split("\n"), 1):
            if word.search(line):
                yield f"{name} still stands in {printable((root / path).as_posix())}:{number}."
