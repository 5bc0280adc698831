"""What a rule of the checker is beside its name and its words: pure functions from records to findings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from builder.records.entries import Entries, MaskRecord, PartRecord, RemovedRecord, TestRecord
from builder.records.problems import Finding, Key, Rule, printable


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
    pictures: frozenset[str] = frozenset()
    """Paths of the pictures beside the entries, whether they can be shown or not."""


@dataclass(frozen=True)
class RecordRule(Rule):
    """A rule on what was read. Its explanation is the docstring of its module.

    `mask`, `part`, `test` and `removed` look at one record, `entries` at all of them.
    """

    mask: Callable[[MaskRecord, Context], Iterable[Finding]] | None = None
    part: Callable[[PartRecord, Context], Iterable[Finding]] | None = None
    test: Callable[[TestRecord, Context], Iterable[Finding]] | None = None
    removed: Callable[[RemovedRecord, Context], Iterable[Finding]] | None = None
    entries: Callable[[Entries, Context], Iterable[Finding]] | None = None


FAILED_RULE = Rule(
    "failed-rule",
    "The checker itself failed",
    """A rule of the checker itself broke down on this file.

That is a fault of the checker, not of the entry. The other rules have run all the same. Please report it with
the file.
""",
)


def failed(rule: Rule, error: Exception) -> Finding:
    """Report a rule that raised an error."""
    reason = printable(f"{type(error).__name__}: {error}")
    return Finding((), f"The rule {rule.name} broke down: {reason}.", "Report this as a fault of the checker.")
