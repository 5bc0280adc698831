"""A mask that turned out to be sold in sizes becomes one for each, and each of its tests goes to one of them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from builder.records.entries import Entries, TestRecord
from builder.records.file_names import name_parts
from builder.records.kept_addresses import Removal, Renaming, Withdrawal
from builder.records.positions import value_spans
from builder.records.rewriting.address_list import ListedLine
from builder.records.rewriting.entry_changes import (
    CannotChangeError,
    EntryChanges,
    Obstacle,
    Rewriting,
    sound_entries,
)
from builder.records.rewriting.moved_pictures import move_files, renamed_files, shown_elsewhere
from builder.records.rewriting.renaming import not_there, taken_name
from builder.records.text_edits import UneditableError, with_values
from builder.records.toml_text import toml_value

MOST_NAMED = 5


@dataclass(frozen=True)
class Split:
    """How a mask is split: the new ids with the size printed on each, and which tests go where.

    `goes` says so by test id, specimen label or wearer, in this order; `rest` for tests of which nothing is said.
    """

    mask: str
    sizes: Mapping[str, str]
    goes: Mapping[str, str]
    rest: str | None = None


def split_mask(root: Path, split: Split, today: date) -> EntryChanges:
    """Work out what changes when a mask becomes one for each of its sizes. Raises CannotChangeError."""
    entries = sound_entries(root)
    mask, sizes = split.mask, split.sizes
    placed = {
        record.id: _size(record, split.goes) or split.rest for record in entries.tests if record.test.mask == mask
    }
    for line in entries.removed:
        if line.test and line.test.startswith(f"{mask}/"):
            placed[line.test] = _size_of_id(line.test, split.goes) or split.rest
    if obstacles := list(_obstacles(entries, split, placed)):
        raise CannotChangeError(obstacles)
    rewriting = Rewriting(root)
    record = entries.masks[mask]
    text = (root / record.path).read_bytes().decode()
    for number, (new, size) in enumerate(sizes.items()):
        rewriting.contents[f"masks/{new}.toml"] = with_values(
            _with_size(text, size), renamed_files(record, new)
        ).encode()
        move_files(rewriting, record, new, copy=number > 0)
        if number == 0:
            rewriting.instead_of[f"masks/{new}.toml"] = record.path
    for part, values in shown_elsewhere(entries.parts.values(), mask, next(iter(sizes))):
        rewriting.write(part, values)
    for test in entries.tests:
        if test.test.mask == mask:
            new = placed[test.id] or ""
            rewriting.write(test, {("mask",): new}, f"tests/{new}/{test.path.rpartition('/')[2]}")

    def moved(name: str) -> str:
        return f"{placed[name]}/{name.partition('/')[2]}" if name in placed else name

    def changed(line: ListedLine) -> ListedLine:
        if isinstance(line, Removal):
            return line.model_copy(update={"test": moved(line.test)}) if line.test else line
        if isinstance(line, Withdrawal):
            return line.model_copy(update={"mask": next(iter(sizes))}) if line.mask == mask else line
        to = [name for old in line.to for name in (sizes if line.kind == "mask" and old == mask else [moved(old)])]
        update: dict[str, object] = {"to": tuple(to)}
        if line.test and line.test.partition("/")[0] == mask:
            update["test"] = f"{to[0].partition('/')[0]}/{line.test.partition('/')[2]}"
        return line.model_copy(update=update)

    rewriting.addresses = rewriting.addresses.with_lines(changed).and_lines(
        [Renaming(mask=mask, to=tuple(sizes), date=today)]
    )
    return rewriting.changes()


def _size(record: TestRecord, goes: Mapping[str, str]) -> str | None:
    label = record.test.specimen.label
    return goes.get(record.id) or (goes.get(label) if label else None) or goes.get(record.test.face.wearer)


def _size_of_id(test: str, goes: Mapping[str, str]) -> str | None:
    name = name_parts(test.partition("/")[2])
    return goes.get(test) or (goes.get(name.wearer) if name else None)


def _obstacles(entries: Entries, split: Split, placed: Mapping[str, str | None]) -> Iterator[Obstacle]:
    mask, sizes = split.mask, split.sizes
    if mask not in entries.masks:
        yield not_there("mask", mask, set(entries.masks))
        return
    if len(sizes) < 2:
        yield Obstacle("A mask is split into two sizes or more.", "Name each by --size ID=SIZE; rename is for one.")
    for new in sizes:
        yield from taken_name(entries, "mask", mask, new)
    for target in sorted({*split.goes.values(), *filter(None, [split.rest])} - sizes.keys()):
        yield Obstacle(f"{target} is none of the new ids.", f"They are {', '.join(sizes)}.")
    own = [record for record in entries.tests if record.test.mask == mask]
    known = {record.id for record in own} | {record.test.face.wearer for record in own}
    known |= {record.test.specimen.label for record in own if record.test.specimen.label}
    for what in sorted(split.goes.keys() - known - placed.keys()):
        yield Obstacle(f"{what} is no test, specimen or wearer of {mask}.", "Check how it is written.")
    if left := sorted(test for test, size in placed.items() if size is None):
        named = ", ".join(left[:MOST_NAMED]) + (f" and {len(left) - MOST_NAMED} more" * (len(left) > MOST_NAMED))
        yield Obstacle(f"Nothing says to which size these tests go: {named}.", "Say so by --goes WHAT=ID or --rest ID.")


def _with_size(text: str, size: str) -> str:
    """Write a size into the text of a mask, behind its model where there is none yet."""
    if "size" in tomllib.loads(text):
        return with_values(text, {("size",): size})
    end = text.find("\n", value_spans(text)["model",][1])
    changed = f"{text[:end]}\nsize = {toml_value(size)}{text[end:]}"
    if tomllib.loads(changed) != {**tomllib.loads(text), "size": size}:
        raise UneditableError
    return changed
