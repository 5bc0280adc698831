"""From files to records: walks the entries folder and reads every file, collecting what is wrong on the way."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic import ValidationError

from builder.records import passed_over
from builder.records.models import Entry, Mask, Part, Removal, Removed, Test
from builder.records.problems import Finding, Key
from builder.records.rules import (
    encoding,
    entries_folder,
    file_name,
    file_size,
    git_files,
    no_links,
    readable,
    syntax,
    unexpected_file,
)
from builder.records.rules.base import Found
from builder.records.translating import translate

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
class Entries:
    """Every record that could be read, masks and parts by id, tests sorted by id; what was taken out, as listed."""

    masks: dict[str, MaskRecord]
    parts: dict[str, PartRecord]
    tests: tuple[TestRecord, ...]
    removed: tuple[Removal, ...] = ()


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


@dataclass(frozen=True)
class Listing:
    """The entry files of a folder, and a finding for all that should not be there."""

    files: tuple[EntryFile, ...]
    found: tuple[Found, ...]


@dataclass(frozen=True)
class Remainder:
    """What is left of a record without its faulty values, and the keys and tables at the top that hold the faults."""

    record: Record
    faulty: frozenset[str]


@dataclass(frozen=True)
class ReadFile:
    """What came out of one file: a record, or of a faulty one the remainder if it makes sense, and what was found."""

    record: Record | None
    found: tuple[Found, ...]
    remainder: Remainder | None = None


def list_files(root: Path) -> Listing:
    """List the entry files below a folder, in a fixed order. `README.md` and harmless dot files are passed over."""
    if not root.is_dir():
        return Listing((), (Found(entries_folder.RULE, "", entries_folder.missing()),))
    files: list[EntryFile] = []
    found: list[Found] = []
    for item in _walk(root, ""):
        if isinstance(item, EntryFile):
            files.append(item)
        else:
            found.append(item)
    return Listing(tuple(files), tuple(found))


def read_file(root: Path, file: EntryFile) -> ReadFile:
    """Read one entry. Whatever the file holds, the outcome is a record, or findings, or both."""
    content = load(root, file.path)
    if isinstance(content, Found):
        return ReadFile(None, (*_name_findings(file), content))
    return read_content(file, content)


def read_content(file: EntryFile, content: bytes) -> ReadFile:
    """Read one entry from the bytes of its file."""
    found = list(_name_findings(file))
    if content.startswith(encoding.BYTE_ORDER_MARK):
        found.append(Found(encoding.RULE, file.path, encoding.byte_order_mark()))
        content = content.removeprefix(encoding.BYTE_ORDER_MARK)
    try:
        text = content.decode()
    except UnicodeDecodeError as error:
        return ReadFile(None, (*found, Found(encoding.RULE, file.path, encoding.not_utf8(content, error))))
    table = syntax.parse(text)
    if isinstance(table, Finding):
        return ReadFile(None, (*found, Found(syntax.RULE, file.path, table)))
    try:
        return ReadFile(_record(file, table), tuple(found))
    except ValidationError as error:
        found += [Found(rule, file.path, finding) for rule, finding in translate(MODELS[file.kind], error)]
        return ReadFile(None, tuple(found), _remainder(file, table, error))


def is_below(path: str, places: frozenset[str]) -> bool:
    """Whether a path is one of some places or lies below one; without places everything does."""
    if not places or "" in places:
        return True
    while path and path not in places:
        path = path.rpartition("/")[0]
    return bool(path)


def entries_of(records: Iterable[Record]) -> Entries:
    """Sort records into entries."""
    masks, parts, tests = [], [], []
    removed: tuple[Removal, ...] = ()
    for record in sorted(records, key=lambda record: record.id):
        if isinstance(record, TestRecord):
            tests.append(record)
        elif isinstance(record, MaskRecord):
            masks.append(record)
        elif isinstance(record, PartRecord):
            parts.append(record)
        else:
            removed = record.removed.removed
    return Entries({mask.id: mask for mask in masks}, {part.id: part for part in parts}, tuple(tests), removed)


def _walk(root: Path, folder: str) -> Iterator[EntryFile | Found]:
    try:
        with os.scandir(root / folder) as scan:
            entries = sorted(scan, key=lambda entry: entry.name)
    except OSError as error:
        yield Found(readable.RULE, folder, readable.unreadable(error))
        return
    if not entries and folder.startswith("tests/"):
        yield Found(git_files.RULE, folder, git_files.empty_folder())
    for entry in entries:
        name, path = entry.name, f"{folder}/{entry.name}".lstrip("/")
        if name.startswith("."):
            yield from passed_over.hidden(root, path, entry)
        elif entry.is_symlink():
            yield Found(no_links.RULE, path, no_links.link())
        elif entry.is_file(follow_symlinks=False):
            if kind := kind_of(path):
                yield EntryFile(kind, path)
            elif name != passed_over.README:
                yield _unexpected(folder, path, "file")
        elif not entry.is_dir(follow_symlinks=False):
            yield _unexpected(folder, path, "special file")
        elif folder == "tests" or path in ("masks", "parts", "tests"):
            if folder == "tests" and (wrong := file_name.bad_name("folder", name)):
                yield Found(file_name.RULE, path, wrong)
            yield from _walk(root, path)
        else:
            yield _unexpected(folder, path, "folder")


def _unexpected(folder: str, path: str, kind: str) -> Found:
    name = path.rpartition("/")[2]
    if git_files.is_gits(name) or git_files.is_of_a_repository(name):
        return Found(git_files.RULE, path, git_files.named(name))
    return Found(unexpected_file.RULE, path, unexpected_file.unexpected(folder, kind))


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


def _name_findings(file: EntryFile) -> Iterator[Found]:
    if wrong := file_name.bad_name(file.kind, file.stem):
        yield Found(file_name.RULE, file.path, wrong)


def size_limit(path: str) -> int:
    """Give the most bytes that the file at a path may have."""
    return file_size.MAX_LIST_BYTES if path == REMOVED_FILE else file_size.MAX_BYTES


def load(root: Path, path: str) -> bytes | Found:
    """Read a file's bytes, or say why not. Of a file that is too large only the beginning is read."""
    limit = size_limit(path)
    try:
        with open(f"{root}/{path}", "rb") as file:  # noqa: PTH123  (a Path for each of 100,000 files takes seconds)
            content = file.read(limit + 1)
    except OSError as error:
        return Found(readable.RULE, path, readable.unreadable(error))
    if len(content) > limit:
        return Found(file_size.RULE, path, file_size.too_large(limit))
    return content


def _remainder(file: EntryFile, table: dict[str, object], error: ValidationError) -> Remainder | None:
    """Leave the faulty values out and try again, so that rules can look at the rest of the file."""
    keys = [detail["loc"] for detail in error.errors(include_url=False, include_input=False)]
    for key in sorted(keys, key=str, reverse=True):
        _leave_out(table, key)
    try:
        return Remainder(_record(file, table), frozenset(str(key[0]) for key in keys))
    except ValidationError:
        return None  # a key that is required


def _leave_out(table: Any, key: Key) -> None:
    """Delete a value; for one in a list the list, whose other items would mean something else without it."""
    for part in key[:-1]:
        inner = table.get(part)
        if not isinstance(inner, dict):
            key = (part,)
            break
        table = inner
    table.pop(key[-1], None)


def _record(file: EntryFile, table: dict[str, object]) -> Record:
    if file.kind == "test":
        return TestRecord(file.id, file.path, Test.model_validate(table))
    if file.kind == "mask":
        return MaskRecord(file.id, file.path, Mask.model_validate(table))
    if file.kind == "removed":
        return RemovedRecord(file.id, file.path, Removed.model_validate(table))
    return PartRecord(file.id, file.path, Part.model_validate(table))
