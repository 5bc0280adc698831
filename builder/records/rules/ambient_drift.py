"""The ambient level before and after a stretch in the mask is about the same.

What was counted in the mask is set against the mean of the room air before and after it. Where that changed by more
than a factor of 2 the mean says little about what was outside while the mask was sampled: repeat the run, or set it
aside. The factor is common practice, no published source; a change that counting alone makes once in a hundred runs or
more often is not named.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.fit.counts.counting import DRIFT_CHANCE
from builder.fit.counts.doubts import drifted
from builder.records.entries import TestRecord
from builder.records.overall import from_counts
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the ambient stretches on both sides of each one in the mask."""
    result = record.test.result
    if not result.counts or result.set_aside:
        return
    try:
        drift = from_counts(result).drift
    except ValueError:
        return  # another rule says so
    if drift and drift.refuse and not drift.p_value >= DRIFT_CHANCE:  # NaN where there are concentrations alone
        yield Finding(
            ("result", "counts"),
            drifted(drift.ratio),
            'Check the counts; if they are right, add set_aside = "the ambient level changed" to [result].',
        )


RULE = RecordRule("ambient-drift", "The ambient level holds still", __doc__, severity="warning", test=check)
