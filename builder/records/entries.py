"""What was read: a record for each file of the entries folder, with its place, and all of them together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from builder.records.kept_addresses import Removal, Removed, Renaming, Withdrawal
from builder.records.models import Entry, Mask, Part, Test
from builder.records.picture_files import PictureFile

Kind = Literal["mask", "part", "test", "removed"]

MODELS: dict[Kind, type[Entry]] = {"mask": Mask, "part": Part, "test": Test, "removed": Removed}
REMOVED_FILE = "removed.toml"
_SUFFIX = ".toml"


@dataclass(frozen=True)
class MaskRecord:
    """A mask file. `path` is relative to the entries folder, with slashes."""

    id: str
    path: str
    mask: Mask


@dataclass(frozen=True)
class PartRecord:
    """A part file. `path` is relative to the entries folder, with slashes."""

    id: str
    path: str
    part: Part


@dataclass(frozen=True)
class TestRecord:
    """A test file. `id` is `<mask>/<date>-<wearer>-<n>`; `path` is relative to the entries folder, with slashes."""

    __test__ = False  # the name is the trade's, not pytest's

    id: str
    path: str
    test: Test


@dataclass(frozen=True)
class RemovedRecord:
    """The list of what was taken out. There is one, and its `id` is "removed"."""

    id: str
    path: str
    removed: Removed


@dataclass(frozen=True)
class Register:
    """Masks and parts by id; what was taken out, renamed and withdrawn, as listed."""

    masks: dict[str, MaskRecord]
    parts: dict[str, PartRecord]
    removed: tuple[Removal, ...] = ()
    renamed: tuple[Renaming, ...] = ()
    withdrawn: tuple[Withdrawal, ...] = ()
    pictures: Mapping[str, PictureFile] = field(default_factory=dict)
    """By path below the entries folder: those that can be shown."""


@dataclass(frozen=True)
class Entries(Register):
    """Every record that could be read; tests sorted by id."""

    tests: tuple[TestRecord, ...] = ()


Record = MaskRecord | PartRecord | TestRecord | RemovedRecord


@dataclass(frozen=True, slots=True)
class EntryFile:
    """A file that should hold an entry, before it is read. `path` is relative to the entries folder, with slashes."""

    kind: Kind
    path: str

    @property
    def stem(self) -> str:
        """The file's name without folder and suffix."""
        return self.path.rpartition("/")[2].removesuffix(_SUFFIX)

    @property
    def id(self) -> str:
        """The id of the record: the file's name, for a test with the folder of its mask before it."""
        return self.path.removeprefix(f"{self.kind}s/").removesuffix(_SUFFIX)


def record_of(file: EntryFile, entry: Entry) -> Record:
    """Put an entry together with its id and path."""
    if isinstance(entry, Test):
        return TestRecord(file.id, file.path, entry)
    if isinstance(entry, Mask):
        return MaskRecord(file.id, file.path, entry)
    if isinstance(entry, Removed):
        return RemovedRecord(file.id, file.path, entry)
    return PartRecord(file.id, file.path, entry)


def entries_of(records: Iterable[Record]) -> Entries:
    """Sort records into entries."""
    masks, parts, tests = [], [], []
    listed = Removed()
    for record in sorted(records, key=lambda record: record.id):
        if isinstance(record, TestRecord):
            tests.append(record)
        elif isinstance(record, MaskRecord):
            masks.append(record)
        elif isinstance(record, PartRecord):
            parts.append(record)
        else:
            listed = record.removed
    return Entries(
        {mask.id: mask for mask in masks},
        {part.id: part for part in parts},
        listed.removed,
        listed.renamed,
        listed.withdrawn,
        tests=tuple(tests),
    )


def kind_of(path: str) -> Kind | None:
    """Say which kind of entry a file is by its path below the entries folder; None for none."""
    folder, _, name = path.rpartition("/")
    if path == REMOVED_FILE:
        return "removed"
    if not name.endswith(_SUFFIX) or name.startswith("."):
        return None
    if folder.startswith("tests/") and folder.count("/") == 1:
        return "test"
    return "mask" if folder == "masks" else "part" if folder == "parts" else None


def is_below(path: str, places: frozenset[str]) -> bool:
    """Whether a path is one of some places or lies below one; without places everything does."""
    if not places or "" in places:
        return True
    while path and path not in places:
        path = path.rpartition("/")[0]
    return bool(path)
