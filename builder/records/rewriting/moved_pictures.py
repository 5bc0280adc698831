"""Pictures follow the mask or part that they stand beside, by its name and wherever they show it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeVar

from builder.records.entries import MaskRecord, PartRecord
from builder.records.models import Picture
from builder.records.problems import Key
from builder.records.rewriting.entry_changes import Rewriting

_RecordT = TypeVar("_RecordT", MaskRecord, PartRecord)


def pictures_of(record: MaskRecord | PartRecord) -> tuple[Picture, ...]:
    """Give the pictures that an entry names."""
    return record.mask.picture if isinstance(record, MaskRecord) else record.part.picture


def renamed_files(record: MaskRecord | PartRecord, new: str) -> dict[Key, object]:
    """Give the names of an entry's pictures under another id, by the keys that hold them."""
    pictures = enumerate(pictures_of(record))
    return {("picture", number, "file"): _named(picture, record.id, new) for number, picture in pictures}


def move_files(rewriting: Rewriting, record: MaskRecord | PartRecord, new: str, *, copy: bool = False) -> None:
    """Let the files of an entry's pictures follow it to another id; as a `copy`, they stay as well."""
    folder = record.path.rpartition("/")[0]
    for picture in pictures_of(record):
        old, path = f"{folder}/{picture.file}", f"{folder}/{_named(picture, record.id, new)}"
        rewriting.contents[path] = (rewriting.root / old).read_bytes()
        if not copy:
            rewriting.instead_of[path] = old


def shown_elsewhere(records: Iterable[_RecordT], old: str, new: str) -> Iterator[tuple[_RecordT, dict[Key, object]]]:
    """Give the entries whose pictures show a mask or part, with what they say of it under another id."""
    for record in records:
        values: dict[Key, object] = {
            ("picture", number, "shows", place): new
            for number, picture in enumerate(pictures_of(record))
            for place, shown in enumerate(picture.shows)
            if shown == old
        }
        if values:
            yield record, values


def _named(picture: Picture, old: str, new: str) -> str:
    return f"{new}{picture.file.removeprefix(old)}"
