"""Counts give a fit factor: ambient air and mask were both sampled, in the order of time, all in one measure.

Each stretch in the mask is set against the ambient air sampled before and after it. So there is at least one
stretch of each, the ambient air holds particles, and either all stretches have `particles` or all have
`concentration`.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import TestRecord
from builder.records.overall import from_counts
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.shared_messages import shared


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Work the fit factor out of the counts."""
    result = record.test.result
    if not result.counts:
        return
    key = ("result", "counts")
    try:
        fit_factor = from_counts(result).overall.fit_factor
    except ValueError as error:
        yield Finding(key, str(error), "Give ambient and mask stretches in the order of time, all in particles.")
        return
    if fit_factor < 1:
        yield Finding(
            key,
            shared("below_one", fit_factor=f"{fit_factor:.2g}"),
            "Check which stretches are ambient and which mask.",
        )


RULE = RecordRule("usable-counts", "Counts give a fit factor", __doc__, test=check)
