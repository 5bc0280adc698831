"""A test has a result: exercises with fit factors, or counts, or an overall fit factor.

A take that failed halfway still has what was measured until then, and `set_aside` says why it does not count. A take
without any number is no test. Only an entry that says nothing of its result at all is a planned one (`planned-test`).
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import TestRecord
from builder.records.overall import averaged, is_planned
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.shared_messages import shared


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Look for any of the three."""
    result = record.test.result
    if is_planned(result):
        return
    if result.fit_factor is None and not result.counts and not averaged(result):
        yield Finding(
            ("result",),
            shared("no_number"),
            "Add fit_factor, or [[result.exercise]] with a fit factor each, or [[result.counts]].",
        )


RULE = RecordRule("some-result", "There is a result", __doc__, test=check)
