"""Corrects what can be corrected safely: the form of a file, the spelling of its words, its place, notes in pictures.

No value changes but words that are misspelled only in case, spaces or underscores; a changed text is kept only if it
parses to the expected content. No file is written over another, and either all corrections are made or none.
"""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from builder.records import syntax
from builder.records.entries import MODELS, EntryFile, TestRecord, is_below
from builder.records.entry_keys import key_at
from builder.records.file_faults import BYTE_ORDER_MARK
from builder.records.file_names import name_parts
from builder.records.models import Test
from builder.records.nearest_words import plain
from builder.records.picture_files import without_notes
from builder.records.positions import position_of, positions
from builder.records.problems import Finding, Key
from builder.records.reading import list_files, load, read_content, read_file
from builder.records.toml_text import SCHEMAS
from builder.records.writing_files import write_files

_SCHEMA_LINE = re.compile(r"#:schema\s+\S")


@dataclass(frozen=True)
class Fix:
    """What was corrected in a file, and where it is now; paths are relative to the entries folder."""

    path: str
    what: str
    now: str


def fix_entries(root: Path, paths: Sequence[str] = ()) -> list[Fix]:
    """Correct the files of an entries folder, or only those at or below some paths relative to it: all or none.

    Raises OSError where something cannot be written; nothing is then.
    """
    listing = list_files(root)
    chosen = [file for file in listing.files if is_below(file.path, frozenset(paths))]
    masks = frozenset(file.id for file in listing.files if file.kind == "mask")
    corrected = {file.path: fixed for file in chosen if (fixed := _corrected(root, file))}
    fixes = [Fix(path, what, path) for path, fixed in corrected.items() for what in fixed.done]
    pictures = {
        path: picture
        for path in listing.pictures
        if is_below(path, frozenset(paths))
        if (picture := _cleaned(root, path))
    }
    fixes += [Fix(path, "took out all but the picture", path) for path in pictures]
    texts = {path: fixed.text for path, fixed in corrected.items()}
    waiting = [file for file in chosen if file.kind == "test"]
    while True:
        moves, waiting = _moves(root, waiting, texts, masks)
        contents: dict[str, str | bytes] = {moves.get(path, path): text for path, text in texts.items()}
        contents |= {new: (root / old).read_bytes() for old, new in moves.items() if old not in texts}
        contents |= pictures
        if not contents:
            return fixes
        write_files(root, contents, {moves.get(old, old): old for old in (*texts, *moves, *pictures)})
        fixes += [Fix(old, f"moved to {new}", new) for old, new in moves.items()]
        texts, pictures = {}, {}


def _cleaned(root: Path, path: str) -> bytes | None:
    """Give a picture without the notes in it; None for one that has none, or needs more than that."""
    content = load(root, path)
    return without_notes(path, content) if isinstance(content, bytes) else None


@dataclass(frozen=True)
class _Corrected:
    text: str
    done: list[str]


def _corrected(root: Path, file: EntryFile) -> _Corrected | None:
    """Correct the text of a file. A file that is no TOML, and one that is right, is left alone."""
    content = load(root, file.path)
    if not isinstance(content, bytes):
        return None
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return None
    table = syntax.parse(text)
    if isinstance(table, Finding):
        return None
    done = ["removed the byte order mark"] if content.startswith(BYTE_ORDER_MARK) else []
    for edit, what in _EDITS:
        changed = edit(text)
        if changed != text and _says(changed, table):
            text = changed
            done.append(what)
    model = MODELS[file.kind]
    if not _SCHEMA_LINE.match(text):
        text = f"#:schema {SCHEMAS[model]}\n{text}"
        done.append("added the schema line")
    for key, word in _misspelled(file, table):
        changed, wanted = _respelled(text, key, word), deepcopy(table)
        _set(wanted, key, word)
        if _says(changed, wanted):
            text, table = changed, wanted
            done.append(f'wrote "{word}" for {key[-1]}' if isinstance(key[-1], str) else f'wrote "{word}"')
    return _Corrected(text, done) if done else None


_EDITS: tuple[tuple[Callable[[str], str], str], ...] = (
    (lambda text: text.replace("\r\n", "\n"), "made line ends plain"),
    (lambda text: re.sub(r"[ \t]+$", "", text, flags=re.MULTILINE), "removed spaces at line ends"),
    (lambda text: text.rstrip("\n") + "\n", "ended the file with one line end"),
)


def _says(text: str, table: dict[str, Any]) -> bool:
    try:
        return tomllib.loads(text) == table
    except ValueError:
        return False


def _misspelled(file: EntryFile, table: dict[str, Any]) -> Iterator[tuple[Key, str]]:
    """Find words that are on their list once case, spaces and underscores are set right."""
    model = MODELS[file.kind]
    try:
        model.model_validate(table)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            if detail["type"] == "enum" and isinstance(detail["input"], str):
                wanted = _letters(detail["input"])
                for word in key_at(model, detail["loc"]).words:
                    if wanted in (_letters(word), _letters(word.label)):
                        yield detail["loc"], str(word)
                        break


def _letters(text: str) -> str:
    return plain(text).replace("-", "")


def _respelled(text: str, key: Key, word: str) -> str:
    """Replace the first quoted text at or after a key, on its line."""
    place = position_of(positions(text), key)
    lines = text.split("\n")
    line, column = lines[place.line - 1], place.column - 1
    changed = re.sub(r"\"[^\"]*\"|'[^']*'", f'"{word}"', line[column:], count=1)
    lines[place.line - 1] = line[:column] + changed
    return "\n".join(lines)


def _set(table: Any, key: Key, value: str) -> None:
    for part in key[:-1]:
        table = table[part]
    table[key[-1]] = value


def _moves(
    root: Path, tests: Sequence[EntryFile], texts: Mapping[str, str], masks: frozenset[str]
) -> tuple[dict[str, str], list[EntryFile]]:
    """Give the new place of each test that lies in a wrong one, and the tests whose place one of these will free.

    `texts` are those that are about to be written, by path.
    """
    moves: dict[str, str] = {}
    waiting = []
    for file in tests:
        text = texts.get(file.path)
        read = read_file(root, file) if text is None else read_content(file, text.encode())
        if not isinstance(read.record, TestRecord) or read.record.test.mask not in masks:
            continue
        taken = frozenset(moves.values())
        place = _right_place(root, file, read.record.test, taken)
        if place in moves:
            waiting.append(file)
        elif place != file.path and place not in taken and not os.path.lexists(root / place):
            moves[file.path] = place
    return moves, waiting


def _right_place(root: Path, file: EntryFile, test: Test, taken: frozenset[str]) -> str:
    """Give the place that the content of a test asks for; one whose name says nothing gets the next free number."""
    start = f"tests/{test.mask}/{test.date}-{test.face.wearer}-"
    if name := name_parts(file.stem):
        return f"{start}{name.number}.toml"
    places = (f"{start}{n}.toml" for n in count(1))
    return next(place for place in places if place not in taken and not os.path.lexists(root / place))
