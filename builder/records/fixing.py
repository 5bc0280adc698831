"""Corrects what can be corrected safely: the form of a file, the spelling of its words, its place.

No value changes but words that are misspelled only in case, spaces or underscores; a changed text is kept only if it
parses to the expected content. Files are replaced whole and never written over another.
"""

from __future__ import annotations

import os
import re
import tempfile
import tomllib
from collections.abc import Callable, Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from builder.records import syntax
from builder.records.entries import MODELS, EntryFile, TestRecord, is_below
from builder.records.file_faults import BYTE_ORDER_MARK
from builder.records.file_names import name_parts
from builder.records.nearest_words import plain
from builder.records.positions import position_of, positions
from builder.records.problems import Finding, Key
from builder.records.reading import list_files, load, read_file
from builder.records.translating import field_at
from builder.records.writing import SCHEMAS

_SCHEMA_LINE = re.compile(r"#:schema\s+\S")


@dataclass(frozen=True)
class Fix:
    """What was corrected in a file, and where it is now; paths are relative to the entries folder."""

    path: str
    what: str
    now: str


def fix_entries(root: Path, paths: Sequence[str] = ()) -> list[Fix]:
    """Correct the files of an entries folder, or only those at or below some paths relative to it."""
    listing = list_files(root)
    chosen = [file for file in listing.files if is_below(file.path, frozenset(paths))]
    masks = {file.id for file in listing.files if file.kind == "mask"}
    fixes = []
    for file in chosen:
        fixes += [Fix(file.path, what, file.path) for what in _rewrite(root, file)]
    for file in chosen:
        if (
            file.kind == "test"
            and (target := _right_place(root, file, masks))
            and _move(root / file.path, root / target)
        ):
            fixes.append(Fix(file.path, f"moved to {target}", target))
    return fixes


def _rewrite(root: Path, file: EntryFile) -> list[str]:
    """Correct the text of a file; give what was done. A file that is no TOML is left alone."""
    content = load(root, file.path)
    if not isinstance(content, bytes):
        return []
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return []
    table = syntax.parse(text)
    if isinstance(table, Finding):
        return []
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
    if done:
        _replace(root / file.path, text)
    return done


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
                for word in field_at(model, detail["loc"]).words:
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


def _right_place(root: Path, file: EntryFile, masks: set[str]) -> str | None:
    """Give the place that the content of a test asks for, if it is another one and free."""
    record = read_file(root, file).record
    if not isinstance(record, TestRecord) or record.test.mask not in masks:
        return None
    start = f"tests/{record.test.mask}/{record.test.date}-{record.test.face.wearer}-"
    if name := name_parts(file.stem):
        target = f"{start}{name.number}.toml"
    else:
        target = next(path for n in count(1) if not os.path.lexists(root / (path := f"{start}{n}.toml")))
    return None if os.path.lexists(root / target) else target


def _replace(path: Path, text: str) -> None:
    """Write a file anew: it is the old one or the new one, never half of either."""
    handle, draft = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
        file.write(text)
    Path(draft).chmod(path.stat().st_mode)
    Path(draft).replace(path)


def _move(path: Path, target: Path) -> bool:
    """Move a file; whether that was possible. A hard link, unlike a rename, fails where the name is taken."""
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        target.hardlink_to(path)
    except OSError:
        return False
    path.unlink()
    return True
