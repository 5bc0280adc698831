"""What a rule is: a name, a title, an explanation, and pure functions from records to findings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from builder.records.entries import Entries, MaskRecord, PartRecord, RemovedRecord, TestRecord
from builder.records.problems import Finding, Key, Severity


@dataclass(frozen=True)
class Context:
    """What a rule may know beside the record before it.

    `mask_ids`, `part_ids` and `test_ids` hold the ids of unreadable files too, so that one broken mask is not reported
    again by each of its tests. `place` gives path and line of a key in any file, as text for a message.
    """

    masks: Mapping[str, MaskRecord]
    parts: Mapping[str, PartRecord]
    mask_ids: frozenset[str]
    part_ids: frozenset[str]
    test_ids: frozenset[str]
    today: date
    place: Callable[[str, Key], str]


@dataclass(frozen=True)
class Rule:
    """One rule. Its explanation is the docstring of its module, which the rules page shows.

    `mask`, `part`, `test` and `removed` look at one record, `entries` at all of them. A rule without any of these
    is applied while a file is read.
    """

    name: str
    title: str
    explanation: str | None
    severity: Severity = "error"
    mask: Callable[[MaskRecord, Context], Iterable[Finding]] | None = None
    part: Callable[[PartRecord, Context], Iterable[Finding]] | None = None
    test: Callable[[TestRecord, Context], Iterable[Finding]] | None = None
    removed: Callable[[RemovedRecord, Context], Iterable[Finding]] | None = None
    entries: Callable[[Entries, Context], Iterable[Finding]] | None = None


@dataclass(frozen=True)
class Found:
    """A finding together with its rule and the file it was found in."""

    rule: Rule
    path: str
    finding: Finding
