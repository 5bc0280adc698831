"""Everything there is to say about a pull request, from the two revisions to one record."""

from __future__ import annotations

import dataclasses
import json
import math
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from builder.records.kept_addresses import Removal
from builder.records.problems import Problem
from builder.review.changes import (
    Change,
    Faces,
    PictureChange,
    changes,
    faces,
    newly_listed,
    picture_changes,
    without_reason,
)
from builder.review.git import RevisionError
from builder.review.known_before import KnownBefore, OtherHand, changed_results, known_before, other_hands
from builder.review.moves import Moves, moves
from builder.review.oddities import Oddity, oddities
from builder.review.revisions import Commit, Repository
from builder.review.states import States, read_states


@dataclass(frozen=True)
class Compared:
    """What was compared. `parted` is where `base` and `head` parted, if that is neither of the two.

    `head` is None for the work tree, of which `uncommitted` files are in no commit.
    """

    base: Commit
    parted: Commit | None
    head: Commit | None
    uncommitted: int


@dataclass(frozen=True)
class Review:
    """The whole report."""

    compared: Compared
    problems: tuple[Problem, ...]
    """Of the files that differ."""
    other_errors: tuple[Problem, ...]
    """Of all other files."""
    changes: tuple[Change, ...]
    pictures: tuple[PictureChange, ...]
    """Of masks and parts; nobody but a person can see what is in them."""
    without_reason: tuple[Change, ...]
    """Tests and masks that were removed without a line in removed.toml."""
    newly_listed: tuple[Removal, ...]
    moves: Moves
    oddities: tuple[Oddity, ...]
    changed_results: tuple[Change, ...]
    """Tests that were published and now say something else of what figures rest on."""
    other_hands: tuple[OtherHand, ...]
    known_before: tuple[KnownBefore, ...]
    """Of each new test."""
    faces: Faces

    @property
    def has_errors(self) -> bool:
        """Whether the entries as they would be cannot be published."""
        return bool(self.other_errors) or any(problem.severity == "error" for problem in self.problems)


def review(entries: Path, base: str, head: str | None = None) -> Review:
    """Compare the entries of a revision with those of another, or of the work tree. Raises RevisionError."""
    repository = Repository.around(entries)
    compared = _compared(repository, base, head)
    return report(compared, read_states(repository, compared.parted or compared.base, compared.head))


def report(compared: Compared, states: States) -> Review:
    """Say what differs between two states of the entries."""
    found = changes(states)
    touched = {change.id for change in found if change.kind == "test" and change.what != "removed"}
    moved = moves(states.old, states.new)
    # A changed remark makes no reading odd, and looking would mean fitting the model.
    look = touched if moved != Moves() else set()
    return Review(
        compared,
        states.own_problems,
        states.other_errors,
        found,
        picture_changes(states),
        without_reason(states, found),
        newly_listed(states),
        moved,
        oddities(states.new.table, look, states.old.scatter, states.new.model) if look else (),
        changed_results(found),
        other_hands(states, found),
        known_before(states, found),
        faces(states.old.table, states.new.table),
    )


def as_json(found: Review) -> str:
    """Write the report as JSON; what is not known is null."""
    return json.dumps(_plain(found), indent=1, ensure_ascii=False, allow_nan=False)


def _compared(repository: Repository, base: str, head: str | None) -> Compared:
    """Find the commits. What the base gained since the two parted is no change of the head.

    Only where `head` is named and lies behind the base are the two compared as they are.
    """
    start = repository.commit(base)
    end = repository.commit(head or "HEAD")
    parted = repository.parting(start, end)
    behind = parted is not None and head is not None and parted.hash == end.hash
    return Compared(
        start,
        None if parted is None or behind or parted.hash == start.hash else parted,
        end if head else None,
        0 if head else len(repository.changed(end, None)),
    )


def _plain(value: object) -> object:
    if dataclasses.is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, Removal):
        return value.model_dump(mode="json", exclude_none=True)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, float) and math.isnan(value):
        return None
    return value.isoformat() if isinstance(value, date) else value


__all__ = ["Compared", "Review", "RevisionError", "as_json", "report", "review"]
