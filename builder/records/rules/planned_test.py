"""An entry without a result is planned: a donning of a run sheet that waits.

It is a note, no problem: figures leave it out until its result is there. `sealbook plan --write` makes such entries,
and `sealbook bench` fills the next one with each take. Delete those that will never be done.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import TestRecord
from builder.records.overall import is_planned
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Look whether anything was measured."""
    if is_planned(record.test.result):
        yield Finding(
            ("result",),
            "Planned: the result is not there yet.",
            "`sealbook bench` fills it with the next take; or add fit_factor, or delete the file.",
        )


RULE = RecordRule("planned-test", "Planned tests wait for their result", __doc__, severity="note", test=check)
