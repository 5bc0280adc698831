"""From files to records: walks the entries folder and reads every file, collecting what is wrong on the way."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from builder.records import file_faults, file_names, git_faults, passed_over, picture_faults, syntax
from builder.records.entries import (
    MODELS,
    REMOVED_FILE,
    EntryFile,
    Record,
    kind_of,
    record_of,
)
from builder.records.picture_files import is_picture
from builder.records.problems import Finding, Found
from builder.records.remainders import Remainder, salvage

_CHUNK = 16_384


@dataclass(frozen=True)
class Listing:
    """The entry files of a folder, and a finding for all that should not be there."""

    files: tuple[EntryFile, ...]
    found: tuple[Found, ...]
    pictures: tuple[str, ...] = ()
    """Paths of the pictures that stand beside entries."""


@dataclass(frozen=True)
class ReadFile:
    """What came out of one file: a record, or of a faulty one the remainder if it makes sense, and what was found."""

    record: Record | None
    found: tuple[Found, ...]
    remainder: Remainder | None = None


def list_files(root: Path) -> Listing:
    """List the entry files below a folder, in a fixed order. `README.md` and harmless dot files are passed over."""
    if not root.is_dir():
        return Listing((), (Found(file_faults.ENTRIES_FOLDER, "", file_faults.no_folder()),))
    files: list[EntryFile] = []
    found: list[Found] = []
    pictures: list[str] = []
    for item in _walk(root, ""):
        if isinstance(item, EntryFile):
            files.append(item)
        elif isinstance(item, str):
            pictures.append(item)
        else:
            found.append(item)
    return Listing(tuple(files), tuple(found), tuple(pictures))


def read_file(root: Path, file: EntryFile) -> ReadFile:
    """Read one entry. Whatever the file holds, the outcome is a record, or findings, or both."""
    return read_content(file, load(root, file.path))


def read_content(file: EntryFile, content: bytes | Found) -> ReadFile:
    """Read one entry from the bytes of its file, or pass on why there are none."""
    found = list(_name_findings(file))
    if isinstance(content, Found):
        return ReadFile(None, (*found, content))
    if content.startswith(file_faults.BYTE_ORDER_MARK):
        found.append(Found(file_faults.ENCODING, file.path, file_faults.byte_order_mark()))
        content = content.removeprefix(file_faults.BYTE_ORDER_MARK)
    try:
        text = content.decode()
    except UnicodeDecodeError as error:
        return ReadFile(None, (*found, Found(file_faults.ENCODING, file.path, file_faults.not_utf8(content, error))))
    table = syntax.parse(text)
    if isinstance(table, Finding):
        return ReadFile(None, (*found, Found(syntax.RULE, file.path, table)))
    try:
        return ReadFile(record_of(file, MODELS[file.kind].model_validate(table)), tuple(found))
    except ValidationError as error:
        wrong, remainder = salvage(file, table, error)
        return ReadFile(None, (*found, *(Found(rule, file.path, finding) for rule, finding in wrong)), remainder)


def _walk(root: Path, folder: str) -> Iterator[EntryFile | str | Found]:
    """Give entry files, paths of pictures, and what should not be there."""
    try:
        with os.scandir(root / folder) as scan:
            entries = sorted(scan, key=lambda entry: entry.name)
    except OSError as error:
        yield Found(file_faults.READABLE, folder, file_faults.unreadable(error))
        return
    if not entries and folder.startswith("tests/"):
        yield Found(git_faults.RULE, folder, git_faults.empty_folder())
    for entry in entries:
        name, path = entry.name, f"{folder}/{entry.name}".lstrip("/")
        if name.startswith("."):
            yield from passed_over.hidden(root, path, entry)
        elif entry.is_symlink():
            yield Found(file_faults.NO_LINKS, path, file_faults.link())
        elif entry.is_file(follow_symlinks=False):
            yield from _file(folder, path)
        elif not entry.is_dir(follow_symlinks=False):
            yield _unexpected(folder, path, "special file")
        elif folder == "tests" or path in ("masks", "parts", "tests"):
            if folder == "tests" and (wrong := file_names.bad_name("folder", name)):
                yield Found(file_names.RULE, path, wrong)
            yield from _walk(root, path)
        else:
            yield _unexpected(folder, path, "folder")


def _file(folder: str, path: str) -> Iterator[EntryFile | str | Found]:
    if kind := kind_of(path):
        yield EntryFile(kind, path)
    elif is_picture(path):
        yield path
    elif path.rpartition("/")[2] != passed_over.README:
        yield _unexpected(folder, path, "file")


def _unexpected(folder: str, path: str, kind: str) -> Found:
    name = path.rpartition("/")[2]
    if git_faults.is_gits(name) or git_faults.is_of_a_repository(name):
        return Found(git_faults.RULE, path, git_faults.named(name))
    return Found(file_faults.UNEXPECTED_FILE, path, file_faults.unexpected(folder, kind))


def _name_findings(file: EntryFile) -> Iterator[Found]:
    if wrong := file_names.bad_name(file.kind, file.stem):
        yield Found(file_names.RULE, file.path, wrong)


def size_limit(path: str) -> int:
    """Give the most bytes that the file at a path may have."""
    if is_picture(path):
        return picture_faults.MAX_PICTURE_BYTES
    return file_faults.MAX_LIST_BYTES if path == REMOVED_FILE else file_faults.MAX_BYTES


def load(root: Path, path: str) -> bytes | Found:
    """Read a file's bytes, or say why not. Of a file that is too large only the beginning is read."""
    limit = size_limit(path)
    try:
        content = _beginning(f"{root}/{path}", limit + 1)
    except OSError as error:
        return Found(file_faults.READABLE, path, file_faults.unreadable(error))
    if len(content) > limit:
        return Found(file_faults.FILE_SIZE, path, file_faults.too_large(limit))
    return content


def _beginning(path: str, most: int) -> bytes:
    """Read a file up to so many bytes. A file object for each of 100,000 files takes as long again as their bytes."""
    file = os.open(path, os.O_RDONLY | getattr(os, "O_BINARY", 0))
    try:
        content = os.read(file, min(most, _CHUNK))
        if len(content) < _CHUNK:
            return content  # an entry is far shorter, and a file has no more than it gives
        while len(content) < most and (more := os.read(file, most - len(content))):
            content += more
        return content
    finally:
        os.close(file)
