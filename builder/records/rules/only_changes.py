"""A test's configuration names only what differs from the mask as sold.

Otherwise one configuration would have two names, and its tests would be counted apart. If the mask is sold with
`nose-foam = "thin-foam"`, a test of it with that foam leaves `nose-foam` out; and a mask without a brace needs no
`brace = "none"`.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import TestRecord
from builder.records.models import REMOVED
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare each slot of the configuration with the mask as sold."""
    changed = record.test.configuration.filled()
    mask = context.masks.get(record.test.mask)
    if not (changed and mask):
        return
    as_sold = dict(mask.mask.as_sold.filled())
    for slot, part in changed:
        if part == as_sold.get(slot, REMOVED):
            yield Finding(
                ("configuration", slot.value),
                f"{mask.id} is sold without anything for {slot}."
                if part == REMOVED
                else f"{mask.id} is sold with {part} for {slot}.",
                f"Leave {slot} out: only what differs from the mask as sold is named.",
            )


RULE = RecordRule("only-changes", "A configuration names only changes", __doc__, test=check)
