"""Reads an entries folder and runs every rule: what was read, and every problem of every file."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache, partial
from pathlib import Path

from builder.records.entries import (
    Entries,
    EntryFile,
    MaskRecord,
    PartRecord,
    Record,
    RemovedRecord,
    TestRecord,
    entries_of,
    is_below,
    kind_of,
)
from builder.records.file_names import name_parts
from builder.records.known_reads import KnownReads
from builder.records.picture_files import is_picture, picture_findings, shown_pictures
from builder.records.positions import Position, position_of, positions
from builder.records.problems import Finding, Found, Key, Problem, Rule, dotted, printable
from builder.records.reading import Listing, ReadFile, list_files, load, read_content
from builder.records.rules import RECORD_RULES
from builder.records.rules.base import FAILED_RULE, Context, failed
from builder.records.snapshots import Snapshot


@dataclass(frozen=True)
class Checked:
    """The outcome of a check: the records and the sorted problems."""

    entries: Entries
    problems: list[Problem]


def check(root: Path, paths: Sequence[str] = (), *, today: date | None = None) -> Checked:
    """Check an entries folder; of the problems, give those that concern the files at or below some paths inside it.

    `paths` are relative to the entries folder, with slashes. Everything is read, since a test is odd beside any other:
    one of the same contributor, mask or wearer, or one it was copied from. `today` bounds the dates of tests.
    """
    checked = _check(_Sources(root), frozenset(), today)
    return replace(checked, problems=concerning(checked.problems, paths)) if paths else checked


def concerning(problems: Iterable[Problem], paths: Sequence[str]) -> list[Problem]:
    """Choose the problems about files at or below some paths; that there is no entries folder concerns everybody."""
    places = frozenset(paths)
    return [p for p in problems if any(not about or is_below(about, places) for about in p.concerns)]


def check_snapshot(snapshot: Snapshot, known: KnownReads | None = None, *, today: date | None = None) -> Checked:
    """Check a whole folder as it was read before.

    `known` holds what came of files earlier and is brought up to date: a file with the same bytes is not read again,
    nor judged again by itself where nothing beside it has changed.
    """
    if known:
        known.keep_only(snapshot.contents)
    return _check(_Sources(snapshot.root, snapshot=snapshot, known=known), frozenset(), today)


def check_new(
    root: Path, texts: Mapping[str, str], *, gone: Iterable[str] = (), today: date | None = None
) -> list[Problem]:
    """Check new entries, texts by path below the entries folder, beside what is there, as if they were there too.

    Of what is there masks, parts and tests of the same wearers are read: all that could make one of them wrong. `gone`
    are files whose place they take.
    """
    new = {path: text.encode() for path, text in texts.items()}
    return _check(_Sources(root, new=new, gone=frozenset(gone)), frozenset(texts), today).problems


def check_changed(
    root: Path, contents: Mapping[str, bytes], gone: Iterable[str], *, today: date | None = None
) -> list[Problem]:
    """Check a whole folder as if some files held other bytes, or were there, and others were `gone`."""
    return _check(_Sources(root, new=contents, gone=frozenset(gone)), frozenset(), today).problems


def _check(sources: _Sources, chosen: frozenset[str], today: date | None) -> Checked:
    with _no_garbage_collection():
        listing = sources.listing()
        reads = _read(sources, listing.files, chosen)
        pictures = {path: sources.load(path) for path in listing.pictures if is_below(path, chosen)}
        found = [*listing.found, *(f for read in reads for f in read.found), *_in_pictures(pictures)]
        entries = replace(entries_of(read.record for read in reads if read.record), pictures=shown_pictures(pictures))
        context = Context(
            masks=entries.masks,
            parts=entries.parts,
            mask_ids=frozenset(file.id for file in listing.files if file.kind == "mask"),
            part_ids=frozenset(file.id for file in listing.files if file.kind == "part"),
            test_ids=frozenset(file.id for file in listing.files if file.kind == "test"),
            today=today or date.today(),
            place=sources.place,
            pictures=frozenset(listing.pictures),
        )
        found += _apply(reads, entries, context, sources.known)
    problems = sorted({sources.problem(f) for f in found})
    return Checked(entries, concerning(problems, tuple(chosen)))


class _Sources:
    """The files of an entries folder and those that are to join them, and which line of them a key is in.

    `new` holds the content of files that are not in the folder yet, by path, `gone` those that will not be in it; a
    `snapshot` what was read already.
    """

    def __init__(
        self,
        root: Path,
        *,
        new: Mapping[str, bytes] | None = None,
        gone: frozenset[str] = frozenset(),
        snapshot: Snapshot | None = None,
        known: KnownReads | None = None,
    ) -> None:
        self.root = root
        self.new = new or {}
        self.gone = gone
        self.snapshot = snapshot
        self.known = known
        self.positions = lru_cache(maxsize=256)(self._positions)

    def listing(self) -> Listing:
        listing = self.snapshot.listing if self.snapshot else list_files(self.root)
        there = tuple(file for file in listing.files if file.path not in self.new.keys() | self.gone)
        joining = tuple(EntryFile(kind, path) for path in self.new if (kind := kind_of(path)))
        pictures = {path for path in (*listing.pictures, *filter(is_picture, self.new)) if path not in self.gone}
        return Listing(there + joining, listing.found, tuple(sorted(pictures)))

    def read(self, file: EntryFile) -> ReadFile:
        content = self.load(file.path)
        before = self.known.reads.get(file.path) if self.known else None
        if before and before[0] == content:
            return before[1]
        read = read_content(file, content)
        if self.known and isinstance(content, bytes):
            self.known.reads[file.path] = content, read
        return read

    def load(self, path: str) -> bytes | Found:
        if path in self.new:
            return self.new[path]
        return self.snapshot.contents[path] if self.snapshot else load(self.root, path)

    def problem(self, found: Found) -> Problem:
        """Give a finding its path as the user knows it, and its line."""
        finding = found.finding
        return Problem(
            path=self.shown(found.path),
            line=finding.line or self.line(found.path, finding.key),
            key=dotted(finding.key),
            severity=finding.severity or found.rule.severity,
            rule=found.rule.name,
            problem=finding.problem,
            remedy=finding.remedy,
            concerns=(found.path, finding.other) if finding.other else (found.path,),
        )

    def place(self, path: str, key: Key) -> str:
        """Name a place in another file."""
        return f"{self.shown(path)}:{self.line(path, key)}"

    def line(self, path: str, key: Key) -> int:
        return position_of(self.positions(path), key).line if key else 1

    def shown(self, path: str) -> str:
        return printable((self.root / path).as_posix())

    def _positions(self, path: str) -> Mapping[Key, Position]:
        # A file is read again only if there is a problem in it.
        content = self.load(path)
        return positions(content.decode("utf-8-sig", errors="replace")) if isinstance(content, bytes) else {}


def _read(sources: _Sources, files: Sequence[EntryFile], chosen: frozenset[str]) -> list[ReadFile]:
    """Read the chosen files, all masks and parts, and every test of a wearer who is in a chosen one."""
    first = [file for file in files if file.kind != "test" or is_below(file.path, chosen)]
    reads = [sources.read(file) for file in first]
    if len(first) == len(files):
        return reads
    wearers = {read.record.test.face.wearer for read in reads if isinstance(read.record, TestRecord)}
    rest = set(files).difference(first)
    return reads + [
        sources.read(file)
        for file in files
        if file in rest and (name := name_parts(file.stem)) and name.wearer in wearers
    ]


def _in_pictures(contents: Mapping[str, bytes | Found]) -> Iterator[Found]:
    for path, content in contents.items():
        yield from [content] if isinstance(content, Found) else picture_findings(path, content)


def _apply(reads: Sequence[ReadFile], entries: Entries, context: Context, known: KnownReads | None) -> Iterator[Found]:
    """Run every rule on every record it is for, then on all entries together.

    Of a faulty record the rules see what is left, and what they find in the faulty part itself is dropped: a missing
    result is no second problem where the first is a mistyped result. What they said of a test earlier is `known`.
    """
    rules = _rules()
    if known:
        known.judge_by(context, reads)
    for read in reads:
        if known and isinstance(read.record, TestRecord):
            before = known.found.get(read.record.path)
            if not before or before[0] is not read:
                before = known.found[read.record.path] = read, tuple(_on_record(read.record, context, rules))
            yield from before[1]
        elif read.record:
            yield from _on_record(read.record, context, rules)
        elif rest := read.remainder:
            found = _on_record(rest.record, context, rules)
            yield from (f for f in found if not rest.explains(f.finding.key))
    for rule in RECORD_RULES:
        if rule.entries:
            yield from _run(rule, "", partial(rule.entries, entries, context))


_RulesOf = dict[type[Record], list[tuple[Rule, Callable[..., Iterable[Finding]]]]]
"""For each kind of record the rules that look at one, and how."""


def _rules() -> _RulesOf:
    return {
        TestRecord: [(rule, rule.test) for rule in RECORD_RULES if rule.test],
        MaskRecord: [(rule, rule.mask) for rule in RECORD_RULES if rule.mask],
        PartRecord: [(rule, rule.part) for rule in RECORD_RULES if rule.part],
        RemovedRecord: [(rule, rule.removed) for rule in RECORD_RULES if rule.removed],
    }


def _on_record(record: Record, context: Context, rules: _RulesOf) -> Iterator[Found]:
    for rule, look in rules[type(record)]:
        yield from _run(rule, record.path, partial(look, record, context))


def _run(rule: Rule, path: str, find: Callable[[], Iterable[Finding]]) -> list[Found]:
    try:
        return [Found(rule, finding.path or path, finding) for finding in find()]
    except Exception as error:  # whatever a rule does wrong, the other rules still run
        return [Found(FAILED_RULE, path, failed(rule, error))]


@contextmanager
def _no_garbage_collection() -> Iterator[None]:
    """Keep the collector from walking through all records again and again while they are made: none is garbage."""
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if enabled:
            gc.enable()
