"""A problem with an entry: where it is, what is wrong, what to write instead. A record until it is printed."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from typing import Literal

Severity = Literal["error", "warning", "note"]
"""A note is no problem: it says what a file is."""

Key = tuple[str | int, ...]
"""Where a value stands in a file: names of tables and keys, and places in lists, counted from 0."""

# Control characters, marks that turn the direction of text around, and halves of surrogate pairs.
UNPRINTABLE = re.compile(r"[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_LONGEST_QUOTE = 60


@dataclass(frozen=True)
class Rule:
    """What an entry must keep to, with the title and the paragraph that the rules page shows.

    A rule by itself is one of the reader, which finds what is wrong while it reads a file.
    """

    name: str
    title: str
    explanation: str | None
    severity: Severity = "error"


@dataclass(frozen=True)
class Finding:
    """What a rule found at a key, before its line in the file is known.

    Empty fields are filled in by whoever ran the rule: `severity` and `path` with those of the rule and the record,
    `line` with the line of the key. `other` is the path of a second file that the finding is about.
    """

    key: Key
    problem: str
    remedy: str
    severity: Severity | None = None
    path: str = ""
    line: int = 0
    other: str = ""


@dataclass(frozen=True)
class Found:
    """A finding together with its rule and the file it was found in."""

    rule: Rule
    path: str
    finding: Finding


@dataclass(frozen=True, order=True)
class Problem:
    """One finding in its place. `path` starts with the entries folder as it was given to the command.

    `line` counts from 1. `key` is dotted as in TOML, places in lists counted from 1: `result.exercise[2].name`.
    `concerns` holds the files it is about, relative to the entries folder; "" is all of them. It is not printed.
    """

    path: str
    line: int
    key: str
    severity: Severity
    rule: str
    problem: str
    remedy: str
    concerns: tuple[str, ...] = field(default=(), compare=False)


def dotted(key: Key) -> str:
    """Write a key as people read it: `result.exercise[2].name`, places in lists counted from 1."""
    text = ""
    for part in key:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        else:
            text += ("." if text else "") + (part if _BARE_KEY.fullmatch(part) else quoted(part))
    return text


def printable(text: str) -> str:
    """Replace what could disturb a terminal or a page by its code, such as `\\u001b`."""
    return UNPRINTABLE.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def quoted(value: object) -> str:
    """Show a value from a file in one short line, as TOML would write it; tables and lists only by their kind."""
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) >= 10**20:
        return "a number of more than 20 digits"
    text = str(value)
    if len(text) > _LONGEST_QUOTE:
        text = f"{text[:_LONGEST_QUOTE]}…"
    return f'"{printable(text)}"' if isinstance(value, str) else text


def as_text(problems: Iterable[Problem]) -> str:
    """Say each problem in three lines: where and which rule, what is wrong, what to write instead."""
    return "\n".join(
        f"{p.path}:{p.line} {p.severity} {p.rule}{f'  {p.key}' if p.key else ''}\n    {p.problem}\n    → {p.remedy}"
        for p in problems
    )


def as_json(problems: Iterable[Problem]) -> str:
    """Write the problems as a JSON list of objects, keys in the order of `Problem`."""
    shown = [{name: value for name, value in asdict(p).items() if name != "concerns"} for p in problems]
    return json.dumps(shown, indent=2, ensure_ascii=False)


def as_github(problems: Iterable[Problem]) -> str:
    """Write the problems as workflow commands, which a pull request shows beside the line.

    Source: GitHub Docs, Workflow commands for GitHub Actions, "Setting an error message".
    """
    return "\n".join(
        f"::{_COMMANDS[p.severity]} file={_property(p.path)},line={p.line},title={_property(p.rule)}::"
        f"{_message(f'{p.key}: ' if p.key else '')}{_message(p.problem)}%0A{_message(p.remedy)}"
        for p in problems
    )


def as_log(problems: Iterable[Problem]) -> str:
    """Say the problems as `as_text` does for the log of a workflow, in which no text from an entry is a command.

    The log's reader takes `::` at the start of a line for one, after white space too, and `##[` wherever it stands.
    """
    text = as_text(problems).replace("##[", "## [")
    return re.sub(r"^(\s*)::", r"\1: :", text, flags=re.MULTILINE)


_COMMANDS: Mapping[Severity, str] = {"error": "error", "warning": "warning", "note": "notice"}


def _message(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _message(text).replace(":", "%3A").replace(",", "%2C")
