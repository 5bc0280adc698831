"""What came of files before, for whoever reads the same folder again and again: only what changed is worked through."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from builder.records.entries import MaskRecord, TestRecord
from builder.records.problems import Found
from builder.records.reading import ReadFile
from builder.records.rules.base import Context

KnownRows = dict[str, tuple[TestRecord, MaskRecord, tuple[object, ...]]]
"""By path of a test, the test and its mask, and their row of a table."""


@dataclass
class KnownReads:
    """By path of a file, what was worked out and what it was worked out of: it holds only for the very same.

    `reads` what came of its bytes; `found` what the rules on one test said of it; `rows` what a table holds of it.
    """

    reads: dict[str, tuple[bytes, ReadFile]] = field(default_factory=dict)
    found: dict[str, tuple[ReadFile, tuple[Found, ...]]] = field(default_factory=dict)
    rows: KnownRows = field(default_factory=dict)
    _context: Context | None = None
    _others: tuple[ReadFile, ...] = ()

    def judge_by(self, context: Context, reads: Sequence[ReadFile]) -> None:
        """Forget what the rules said unless they would see the same beside each test: other files, ids and the day."""
        others = tuple(read for read in reads if not isinstance(read.record, TestRecord))
        if not (self._context and _same_view(self._context, context) and _the_same(self._others, others)):
            self.found.clear()
        self._context, self._others = context, others

    def keep_only(self, paths: Iterable[str]) -> None:
        """Forget files that are gone."""
        gone = self.reads.keys() - set(paths)
        for path in gone:
            del self.reads[path]
            self.found.pop(path, None)
            self.rows.pop(path, None)


def _same_view(one: Context, other: Context) -> bool:
    ids = (one.mask_ids, one.part_ids, one.test_ids) == (other.mask_ids, other.part_ids, other.test_ids)
    return ids and one.today == other.today


def _the_same(one: Sequence[ReadFile], other: Sequence[ReadFile]) -> bool:
    """Whether all are from the very same bytes: a message may name a line of another file."""
    return len(one) == len(other) and all(a is b for a, b in zip(one, other, strict=True))
