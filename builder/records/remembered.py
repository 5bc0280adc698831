"""What a check of a whole folder said, remembered from one run to the next."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import astuple, dataclass, replace
from datetime import date
from functools import cached_property
from pathlib import Path

from builder.records.checking import Checked, check_snapshot
from builder.records.entries import Register, entries_of, is_below
from builder.records.known_reads import KnownReads
from builder.records.memory import Memory
from builder.records.picture_files import shown_pictures
from builder.records.problems import Problem
from builder.records.reading import read_content
from builder.records.rules import possible_date
from builder.records.snapshots import Snapshot


@dataclass(frozen=True)
class Examination:
    """A folder as it was read, with a memory for what is worked out of it; `known` as for `check_snapshot`."""

    snapshot: Snapshot
    memory: Memory
    today: date
    known: KnownReads | None = None

    @classmethod
    def of(
        cls, root: Path, memory: Memory, *, today: date | None = None, known: KnownReads | None = None
    ) -> Examination:
        """Read a folder, and nothing more until it is asked for."""
        return cls(Snapshot.of(root), memory, today or date.today(), known)

    def files(self, paths: Sequence[str] = ()) -> int:
        """Count the entry files at or below some paths, or all of them."""
        places = frozenset(paths)
        return sum(is_below(file.path, places) for file in self.snapshot.listing.files)

    @cached_property
    def problems(self) -> list[Problem]:
        """Every problem of every file, sorted by place."""
        key = self.key("problems")
        kept = _still_true(self.memory.recall(key), self.today)
        if kept is not None:
            return kept
        found = self.checked.problems
        depends = any(problem.rule == possible_date.RULE.name for problem in found)
        said = {"today": self.today.isoformat(), "depends": depends, "problems": [astuple(p) for p in found]}
        self.memory.keep(key, json.dumps(said).encode())
        return found

    @cached_property
    def checked(self) -> Checked:
        """The whole outcome of the check, with every record: worked out anew unless asked before."""
        return check_snapshot(self.snapshot, self.known, today=self.today)

    @cached_property
    def register(self) -> Register:
        """The records of all but the tests: what can be read."""
        files = (file for file in self.snapshot.listing.files if file.kind != "test")
        reads = (read_content(file, self.snapshot.contents[file.path]) for file in files)
        return replace(
            entries_of(read.record for read in reads if read.record),
            pictures=shown_pictures({path: self.snapshot.contents[path] for path in self.snapshot.listing.pictures}),
        )

    def key(self, what: str) -> str:
        """Name an answer about the folder as it is."""
        return f"{what}-{self.snapshot.digest}"


def _still_true(kept: bytes | None, today: date) -> list[Problem] | None:
    """Give problems that were found on another day, unless a day in the future was one of them."""
    if kept is None:
        return None
    said = json.loads(kept)
    then = date.fromisoformat(said["today"])
    if then != today and (then > today or said["depends"]):
        return None
    return [replace(Problem(*fields), concerns=tuple(concerns)) for *fields, concerns in said["problems"]]
