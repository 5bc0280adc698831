"""File names are ids, since pages, links and other entries go by them.

A mask or part is named `<id>.toml`: small letters and digits with single hyphens between, 2 to 60 characters.
Small letters only, because some systems take `Cup.toml` and `cup.toml` for one file and others for two. A test
is named `<date>-<wearer>-<n>.toml`, for example `2026-09-12-blue-heron-1.toml`, with n = 1 for the wearer's
first test of the mask on that day.

Some names are taken: Windows cannot store `con`, `nul`, `com1` and their like, and a part cannot be called `none` or
`no-straps`, which is how configurations name a part that was taken out.
"""

import re
from datetime import date
from typing import NamedTuple

from builder.records.models import REMOVED
from builder.records.nearest_words import plain
from builder.records.problems import Finding, Rule, quoted
from builder.records.value_types import ID_PATTERN
from builder.records.vocabulary import Slot

RULE = Rule("file-name", "File names are ids", __doc__)

# Source: Microsoft, "Naming Files, Paths, and Namespaces".
DEVICES = frozenset({"con", "prn", "aux", "nul", *(f"{name}{n}" for name in ("com", "lpt") for n in range(1, 10))})
REMOVED_PARTS = frozenset({REMOVED, *(f"no-{slot}" for slot in Slot)})
_SHORTEST, _LONGEST = 2, 60

_ID = re.compile(ID_PATTERN)
_TEST = re.compile(r"(?P<date>\d{4}-\d{2}-\d{2})-(?P<wearer>[a-z0-9]+(?:-[a-z0-9]+)*)-(?P<number>[1-9]\d*)")


class NameParts(NamedTuple):
    """What the name of a test's file says."""

    date: date
    wearer: str
    number: int


def name_parts(stem: str) -> NameParts | None:
    """Take the name of a test's file apart. None where it is no such name."""
    if not (parts := _TEST.fullmatch(stem)):
        return None
    try:
        return NameParts(date.fromisoformat(parts["date"]), parts["wearer"], int(parts["number"]))
    except ValueError:
        return None


def bad_name(kind: str, stem: str) -> Finding | None:
    """Report the name of a mask, a part, a test, or of a test's folder (kind "folder") that is no id."""
    if kind == "test":
        if name_parts(stem):
            return None
        return Finding(
            (),
            f"{quoted(stem)} is no name for a test.",
            "Name it <date>-<wearer>-<n>.toml, such as 2026-09-12-blue-heron-1.toml.",
        )
    if not _ID.fullmatch(stem) or not _SHORTEST <= len(stem) <= _LONGEST:
        return Finding(
            (),
            f"{quoted(stem)} is no id: 2 to 60 small letters and digits, single hyphens between.",
            f"Rename it, for example to {_suggestion(stem)}{'' if kind == 'folder' else '.toml'}.",
        )
    if stem in DEVICES:
        return Finding((), f"Windows cannot store a file called {stem}.", "Choose another name.")
    if kind == "part" and stem in REMOVED_PARTS:
        return Finding(
            (), f"{stem} names a part that was taken out, so no part can be called so.", "Choose another name."
        )
    return None


def id_from(text: str) -> str:
    """Make of a text what may be an id: its letters and digits, a hyphen for each gap. It may be too short or long."""
    return plain("".join(c if c.isascii() and c.isalnum() else " " for c in text))


def _suggestion(stem: str) -> str:
    suggestion = id_from(stem)[:_LONGEST].strip("-")
    return suggestion if len(suggestion) >= _SHORTEST else "blue-heron"


def test_of(path: str) -> str:
    """Give the id of the test whose file lies at a path below the entries."""
    return path.removeprefix("tests/").removesuffix(".toml")
