"""Where in a TOML file a key stands, which `tomllib` does not say.

A small scanner that follows headers, keys, inline tables and arrays without making values of them. It is used only
where there is a problem to report, and takes text that `tomllib` refuses too: what stands before the fault is found.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass

from builder.records.problems import Key

# No entry nests deeper than `result.counts[0].seconds`; the limits bound the work on hostile files.
_DEEPEST_KEY = 8
_DEEPEST_VALUE = 50

_SPACE = re.compile(r"[ \t]*")
_BETWEEN = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_KEY_PART = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
_DOT = re.compile(r"[ \t]*\.[ \t]*")
_STRING = re.compile(
    r'''"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?'{3,5}|"(?:[^"\\\n]|\\.)*"|'[^'\n]*\'''',
    re.DOTALL,
)
_SCALAR = re.compile(r"[^,\]}#\n]+")


@dataclass(frozen=True)
class Position:
    """A place in a text, line and column counted from 1."""

    line: int
    column: int


def position_of(found: Mapping[Key, Position], key: Key) -> Position:
    """Find where a key stands; where it is not in the text, its nearest parent that is, else the first line."""
    while key:
        if key in found:
            return found[key]
        key = key[:-1]
    return Position(1, 1)


def positions(source: str) -> dict[Key, Position]:
    """Find the place of every key, table and list item in a TOML text, as far as it can be followed."""
    scanner = _Scanner(source)
    with suppress(_LostError):  # keep what stands before the fault
        scanner.document()
    line_starts = [0, *(newline.end() for newline in re.finditer("\n", source))]
    return {
        key: Position(line := bisect_right(line_starts, offset), offset - line_starts[line - 1] + 1)
        for key, offset in scanner.found.items()
    }


def value_spans(source: str) -> dict[Key, tuple[int, int]]:
    """Find where the text of every value begins and ends, as far as the TOML text can be followed."""
    scanner = _Scanner(source)
    with suppress(_LostError):
        scanner.document()
    return scanner.values


class _LostError(Exception):
    """The text cannot be followed any further."""


class _Scanner:
    """Walks through a TOML text once and notes the offset at which each key begins."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.at = 0
        self.found: dict[Key, int] = {}
        self.values: dict[Key, tuple[int, int]] = {}
        self.lengths: dict[Key, int] = {}  # of arrays of tables, so far
        self.depth = 0

    def document(self) -> None:
        table: Key = ()
        while self.skip(_BETWEEN) < len(self.source):
            if self.source.startswith("[", self.at):
                table = self.header()
            else:
                self.pair(table)

    def header(self) -> Key:
        array = self.source.startswith("[[", self.at)
        self.at += 2 if array else 1
        self.skip(_SPACE)
        parts = self.key_parts()
        self.skip(_SPACE)
        self.expect("]]" if array else "]")
        path: Key = ()
        for part, offset in parts[:-1]:
            path = self.into((*path, part))
            self.found.setdefault(path, offset)
        name, offset = parts[-1]
        path = (*path, name)
        if not array:
            path = self.into(path)
            self.found[path] = offset
            return path
        number = self.lengths.get(path, 0)
        self.lengths[path] = number + 1
        self.found.setdefault(path, offset)
        self.found[(*path, number)] = offset
        return (*path, number)

    def into(self, path: Key) -> Key:
        """Go on into the last table of an array of tables."""
        return (*path, self.lengths[path] - 1) if path in self.lengths else path

    def pair(self, table: Key) -> None:
        path = table
        for part, offset in self.key_parts():
            path = (*path, part)
            self.found.setdefault(path, offset)
        self.skip(_SPACE)
        self.expect("=")
        self.skip(_SPACE)
        self.value(path)

    def key_parts(self) -> list[tuple[str, int]]:
        """Read a dotted key: its parts, each with its offset. Parts beyond the deepest level are dropped."""
        parts: list[tuple[str, int]] = []
        while True:
            offset = self.at
            raw = self.take(_KEY_PART)
            if len(parts) < _DEEPEST_KEY:
                parts.append((_unquoted(raw), offset))
            if not (dot := _DOT.match(self.source, self.at)):
                return parts
            self.at = dot.end()

    def value(self, path: Key) -> None:
        start = self.at
        first = self.source[self.at : self.at + 1]
        if first in ('"', "'"):
            self.take(_STRING)
        elif first == "[":
            self.items(path, "]")
        elif first == "{":
            self.items(path, "}")
        else:
            self.take(_SCALAR)
        self.values[path] = start, start + len(self.source[start : self.at].rstrip())

    def items(self, path: Key, end: str) -> None:
        """Read the values of an array, or the pairs of an inline table."""
        self.depth += 1
        if self.depth > _DEEPEST_VALUE:
            raise _LostError
        self.at += 1
        number = 0
        self.skip(_BETWEEN)
        while not self.source.startswith(end, self.at):
            if end == "}":
                self.pair(path)
            else:
                self.found[(*path, number)] = self.at
                self.value((*path, number))
            number += 1
            self.skip(_BETWEEN)
            if not self.source.startswith(end, self.at):
                self.expect(",")
                self.skip(_BETWEEN)
        self.at += 1
        self.depth -= 1

    def skip(self, pattern: re.Pattern[str]) -> int:
        if found := pattern.match(self.source, self.at):
            self.at = found.end()
        return self.at

    def take(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.source, self.at)
        if not found:
            raise _LostError
        self.at = found.end()
        return found[0]

    def expect(self, text: str) -> None:
        if not self.source.startswith(text, self.at):
            raise _LostError
        self.at += len(text)


def _unquoted(raw: str) -> str:
    """Read one part of a key; quoted ones may hold escapes, which `tomllib` knows best."""
    if raw[0] not in "\"'":
        return raw
    try:
        return str(tomllib.loads(f"key = {raw}")["key"])
    except ValueError:
        raise _LostError from None
