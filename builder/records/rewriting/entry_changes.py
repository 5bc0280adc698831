"""Which files a change writes, moves and deletes; nothing is written here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from builder.records.checking import Checked, check, check_changed
from builder.records.entries import REMOVED_FILE, Entries, Record
from builder.records.problems import Key, Problem
from builder.records.rewriting.address_list import AddressList
from builder.records.text_edits import with_values

Fate = Literal["new", "changed", "moved", "deleted"]


@dataclass(frozen=True)
class Obstacle:
    """Why a change cannot be made, and what to do about it."""

    problem: str
    remedy: str


class CannotChangeError(Exception):
    """A change that cannot be made: all that stands in its way, and the problems of entries among it."""

    def __init__(self, obstacles: Iterable[Obstacle], problems: Iterable[Problem] = ()) -> None:
        self.obstacles = tuple(obstacles)
        self.problems = tuple(problems)
        super().__init__("; ".join(obstacle.problem for obstacle in self.obstacles))


@dataclass(frozen=True)
class FileChange:
    """What becomes of a file: its path before, "" for a new one, and after, "" for one that is deleted."""

    before: str
    after: str

    @property
    def what(self) -> Fate:
        """The change in a word."""
        if not self.before or not self.after:
            return "deleted" if self.before else "new"
        return "changed" if self.before == self.after else "moved"


@dataclass(frozen=True)
class EntryChanges:
    """The bytes of each file that is written, the file whose place it takes, and files that are gone."""

    contents: Mapping[str, bytes]
    instead_of: Mapping[str, str]
    gone: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    """What the change leaves to people."""

    @property
    def files(self) -> tuple[FileChange, ...]:
        """Every file that it touches, sorted by its path before or else after."""
        found = [FileChange(self.instead_of.get(path, ""), path) for path in self.contents]
        return tuple(
            sorted(
                [*found, *(FileChange(path, "") for path in self.gone)], key=lambda f: (f.before or f.after, f.after)
            )
        )


def sound_entries(root: Path) -> Entries:
    """Read all entries. CannotChangeError where one of them is wrong: what it refers to could not be changed too."""
    checked: Checked = check(root)
    errors = [problem for problem in checked.problems if problem.severity == "error"]
    if errors:
        obstacle = Obstacle("The entries have problems.", "Mend them first, so that nothing is overlooked.")
        raise CannotChangeError([obstacle], errors)
    return checked.entries


class Rewriting:
    """Collects what becomes of files."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.contents: dict[str, bytes] = {}
        self.instead_of: dict[str, str] = {}
        self.gone: list[str] = []
        listed = root / REMOVED_FILE
        self.addresses = AddressList.of(listed.read_bytes().decode() if listed.exists() else None)

    def write(self, record: Record, values: Mapping[Key, object], to: str = "") -> None:
        """Write other values in an entry, or take it to another path, or both. Raises UneditableError."""
        text = (self.root / record.path).read_bytes().decode()
        path = to or record.path
        self.contents[path] = with_values(text, values).encode()
        self.instead_of[path] = record.path

    def changes(self, notes: Iterable[str] = ()) -> EntryChanges:
        """Give all of it, the list of addresses too. Raises CannotChangeError where the entries would be wrong then."""
        text = self.addresses.text
        there = (self.root / REMOVED_FILE).exists()
        gone = list(self.gone)
        if text is None and there:
            gone.append(REMOVED_FILE)
        elif text is not None and self.addresses.changed:
            self.contents[REMOVED_FILE] = text.encode()
            if there:
                self.instead_of[REMOVED_FILE] = REMOVED_FILE
        problems = check_changed(self.root, self.contents, {*gone, *self.instead_of.values()})
        errors = [problem for problem in problems if problem.severity == "error"]
        if errors:
            obstacle = Obstacle("The entries would have problems then.", "Mend what leads to them, and try again.")
            raise CannotChangeError([obstacle], errors)
        return EntryChanges(self.contents, self.instead_of, tuple(gone), tuple(notes))
