"""A mask or a part gets another id: its file, its tests' folder, every reference, and its old address leads on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Literal

from builder.records.entries import Entries
from builder.records.file_names import bad_name
from builder.records.kept_addresses import Removal, Renaming, Withdrawal
from builder.records.nearest_words import nearest
from builder.records.problems import Key
from builder.records.rewriting.address_list import ListedLine
from builder.records.rewriting.entry_changes import (
    CannotChangeError,
    EntryChanges,
    Obstacle,
    Rewriting,
    sound_entries,
)
from builder.records.rewriting.moved_pictures import move_files, renamed_files, shown_elsewhere

RenamedKind = Literal["mask", "part"]


def rename_entry(root: Path, kind: RenamedKind, old: str, new: str, today: date) -> EntryChanges:
    """Work out what changes when a mask or a part gets another id. Raises CannotChangeError.

    The day is that of the redirect. An id that was given and taken back on one day leaves no trace.
    """
    entries = sound_entries(root)
    if obstacles := list(_obstacles(entries, kind, old, new)):
        raise CannotChangeError(obstacles)
    rewriting = Rewriting(root)
    if kind == "mask":
        _rename_mask(rewriting, entries, old, new)
    else:
        _rename_part(rewriting, entries, old, new)
    back = next((line for line in entries.renamed if line.kind == kind and line.old == new), None)
    undone = back is not None and back.date == today

    def changed(line: ListedLine) -> ListedLine | None:
        if back is not None and line == back:
            # The old name is one again; the one it had meanwhile leads to it.
            return None if undone else back.model_copy(update={kind: old, "to": (new,)})
        return with_other_id(line, kind, old, new)

    rewriting.addresses = rewriting.addresses.with_lines(changed)
    if back is None:
        line = Renaming.model_validate({kind: old, "to": (new,), "date": today})
        rewriting.addresses = rewriting.addresses.and_lines([line])
    return rewriting.changes()


def with_other_id(line: ListedLine, kind: str, old: str, new: str) -> ListedLine:
    """Write another id of a mask or a part in a line of the list."""
    if isinstance(line, Renaming):
        to = tuple(_renamed(name, old, new) if line.kind in (kind, "test") else name for name in line.to)
        update: dict[str, object] = {"to": to}
        if kind == "mask" and line.test:
            update["test"] = _renamed(line.test, old, new)
        return line.model_copy(update=update)
    if kind != "mask":
        return line
    if isinstance(line, Withdrawal):
        return line.model_copy(update={"mask": new}) if line.mask == old else line
    return line.model_copy(update={"test": _renamed(line.test, old, new)}) if line.test else line


def _renamed(name: str, old: str, new: str) -> str:
    """Write another mask in an id of a mask or of a test, another part in that of a part."""
    mask, slash, rest = name.partition("/")
    return f"{new if mask == old else mask}{slash}{rest}"


def _rename_mask(rewriting: Rewriting, entries: Entries, old: str, new: str) -> None:
    rewriting.write(entries.masks[old], renamed_files(entries.masks[old], new), f"masks/{new}.toml")
    move_files(rewriting, entries.masks[old], new)
    for other, values in shown_elsewhere(entries.parts.values(), old, new):
        rewriting.write(other, values)
    for record in entries.tests:
        if record.test.mask == old:
            rewriting.write(record, {("mask",): new}, f"tests/{new}/{record.path.rpartition('/')[2]}")


def _rename_part(rewriting: Rewriting, entries: Entries, old: str, new: str) -> None:
    rewriting.write(entries.parts[old], renamed_files(entries.parts[old], new), f"parts/{new}.toml")
    move_files(rewriting, entries.parts[old], new)
    shown = {mask.id: values for mask, values in shown_elsewhere(entries.masks.values(), old, new)}
    for mask in entries.masks.values():
        sold: dict[Key, object] = {
            ("as_sold", str(slot)): new for slot, part in mask.mask.as_sold.filled() if part == old
        }
        if values := sold | shown.get(mask.id, {}):
            rewriting.write(mask, values)
    for record in entries.tests:
        if slots := [slot for slot, part in record.test.configuration.filled() if part == old]:
            rewriting.write(record, {("configuration", str(slot)): new for slot in slots})


def _obstacles(entries: Entries, kind: RenamedKind, old: str, new: str) -> Iterator[Obstacle]:
    ids = set(entries.masks if kind == "mask" else entries.parts)
    if old not in ids:
        yield not_there(kind, old, ids)
    yield from taken_name(entries, kind, old, new)


def not_there(kind: str, name: str, ids: set[str]) -> Obstacle:
    """Say that there is no such mask, part, wearer or contributor, and which was probably meant."""
    near = nearest(name, sorted(ids))
    return Obstacle(f"There is no {kind} {name}.", f"Did you mean {near[0]}?" if near else "Check how it is written.")


def taken_name(entries: Entries, kind: RenamedKind, old: str, new: str) -> Iterator[Obstacle]:
    """Say why a mask or part cannot get an id."""
    if bad := bad_name(kind, new):
        yield Obstacle(bad.problem, bad.remedy)
    elif new in (entries.masks if kind == "mask" else entries.parts):
        yield Obstacle(f"{kind}s/{new}.toml is there already.", "Choose another id.")
    for line in entries.renamed:
        if line.kind == kind and line.old == new and line.to != (old,):
            yield Obstacle(f"{new} was the name of {', '.join(line.to)}, to which it leads.", "Choose another id.")
    for removal in entries.removed:
        if kind == "mask" and isinstance(removal, Removal) and removal.mask == new:
            yield Obstacle(f"{new} was taken out, and its page says why.", "Choose another id.")
