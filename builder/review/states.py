"""The entries before and after: read once, for what did not change is the same in both."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from builder.findings.dataset import Dataset
from builder.findings.table import tidy_table
from builder.fit.summary.summaries import summarise
from builder.records import git_faults
from builder.records.checking import check
from builder.records.entries import (
    REMOVED_FILE,
    Entries,
    EntryFile,
    MaskRecord,
    PartRecord,
    Record,
    RemovedRecord,
    TestRecord,
    entries_of,
    kind_of,
)
from builder.records.kept_addresses import Removed
from builder.records.models import REMOVED
from builder.records.overall import overall
from builder.records.picture_files import is_picture
from builder.records.problems import Problem, printable
from builder.records.reading import read_file
from builder.records.side_by_side import side_by_side
from builder.review.revisions import Commit, Repository


@dataclass(frozen=True)
class States:
    """Two states of the entries; paths are relative to the entries folder.

    `before` and `after` hold the records of the files that differ, as far as they could be read, by path. `there` are
    those of the paths at which a file stands afterwards.
    """

    changed: frozenset[str]
    before: dict[str, Record]
    after: dict[str, Record]
    there: frozenset[str]
    pictures_before: frozenset[str]
    """Those of the paths at which a picture stood before."""
    pictures_after: dict[str, int]
    """Of those that stand there afterwards the size in bytes."""
    old: Dataset
    new: Dataset
    problems: tuple[Problem, ...]
    """Of all files afterwards; those of files that differ are `own_problems`."""

    @property
    def own_problems(self) -> tuple[Problem, ...]:
        """Problems of the files that differ."""
        return tuple(problem for problem in self.problems if self._path(problem) in self.changed)

    @property
    def other_errors(self) -> tuple[Problem, ...]:
        """Errors of other files, which stop the site as well."""
        return tuple(p for p in self.problems if p.severity == "error" and self._path(p) not in self.changed)

    def _path(self, problem: Problem) -> str:
        return problem.path.removeprefix(f"{printable(self.new.root.as_posix())}/")


def read_states(repository: Repository, base: Commit, head: Commit | None) -> States:
    """Read the entries of `base` and `head`, None for the work tree. Raises RevisionError."""
    changed = repository.changed(base, head)
    root = repository.entries
    with _laid_out(repository, head) as folder, tempfile.TemporaryDirectory() as earlier:
        checked = check(folder)
        problems = _with_submodules(
            [_told_of(problem, folder, root) for problem in checked.problems], root, repository.submodules(head)
        )
        there = frozenset(path for path in changed if (folder / path).is_file())
        repository.extract(base, Path(earlier), changed)
        pictures = sorted(filter(is_picture, changed))
        pictures_before = frozenset(path for path in pictures if (Path(earlier) / path).is_file())
        pictures_after = {path: (folder / path).lstat().st_size for path in pictures if path in there}
        before = {path: record for path in sorted(changed) if (record := _read(Path(earlier), path))}
    records = list(_records(checked.entries))
    after = {record.path: record for record in records if record.path in changed}
    unchanged = [record for record in records if record.path not in changed]
    wrong = {p.path.removeprefix(f"{printable(root.as_posix())}/") for p in problems if p.severity == "error"}
    shown = {path: record for path, record in after.items() if path not in wrong}
    # A mask or part that became faulty is taken as it was, for the sake of all the tests that need it.
    faulty = [r for p, r in before.items() if p in there and p not in shown and isinstance(r, MaskRecord | PartRecord)]
    return States(
        changed,
        before,
        after,
        there,
        pictures_before,
        pictures_after,
        _dataset(root, entries_of([*unchanged, *before.values()])),
        _dataset(root, entries_of([*unchanged, *shown.values(), *faulty])),
        problems,
    )


@contextmanager
def _laid_out(repository: Repository, head: Commit | None) -> Iterator[Path]:
    """Give the folder that holds the entries of a commit, None for the work tree."""
    if head is None:
        yield repository.entries
        return
    with tempfile.TemporaryDirectory() as folder:
        repository.extract(head, Path(folder))
        yield Path(folder)


def _with_submodules(problems: list[Problem], root: Path, submodules: tuple[str, ...]) -> tuple[Problem, ...]:
    """Report submodules, which only git knows: on disk each is a folder like others, or one without a file."""
    finding, rule = git_faults.submodule(), git_faults.RULE
    places = {printable((root / path).as_posix()) for path in submodules}
    rest = [problem for problem in problems if problem.rule != rule.name or problem.path not in places]
    told = [Problem(place, 1, "", rule.severity, rule.name, finding.problem, finding.remedy) for place in places]
    return tuple(sorted(rest + told))


def _told_of(problem: Problem, folder: Path, root: Path) -> Problem:
    """Name the entries folder as the user knows it, not where it was laid out."""
    if folder == root:
        return problem

    def known(text: str) -> str:
        return text.replace(printable(folder.as_posix()), printable(root.as_posix()))

    return replace(problem, path=known(problem.path), problem=known(problem.problem), remedy=known(problem.remedy))


def _read(folder: Path, path: str) -> Record | None:
    kind, place = kind_of(path), folder / path
    if kind is None or place.is_symlink() or not place.is_file():
        return None
    return read_file(folder, EntryFile(kind, path)).record


def _records(entries: Entries) -> Iterator[Record]:
    yield from entries.masks.values()
    yield from entries.parts.values()
    yield from entries.tests
    if entries.removed:
        yield RemovedRecord(Path(REMOVED_FILE).stem, REMOVED_FILE, Removed(removed=entries.removed))


def _dataset(root: Path, entries: Entries) -> Dataset:
    """Compute figures from what makes sense: a test needs its mask, its parts and a result."""
    tests = tuple(record for record in entries.tests if _usable(record, entries))
    entries = replace(entries, tests=tests)
    table = tidy_table(entries)
    return Dataset(root, entries, (), table, summarise(table), run=side_by_side)


def _usable(record: TestRecord, entries: Entries) -> bool:
    test = record.test
    parts = {part for _, part in test.configuration.filled()} - {REMOVED}
    if test.mask not in entries.masks or not parts <= entries.parts.keys():
        return False
    try:
        overall(test.result)
    except ValueError:
        return False
    return True
