"""Every part that a mask or a test names has a file of its own: `parts/<part>.toml`.

A test writes `none` for a slot whose part was taken out. A mask does not: a slot that is left out holds nothing
as sold.

```toml
[configuration]
nose-wire = "strip-5x08"   # parts/strip-5x08.toml exists
nose-foam = "none"         # the foam was peeled off
```
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import MaskRecord, TestRecord
from builder.records.models import REMOVED, Slots
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.rules.known_mask import nearest_id


def check_mask(record: MaskRecord, context: Context) -> Iterator[Finding]:
    """Look up what the mask has as sold."""
    for slot, part in record.mask.as_sold.filled():
        if part == REMOVED:
            yield Finding(
                ("as_sold", slot.value),
                f"{slot} holds nothing as sold, and is written down.",
                f"Leave {slot} out of [as_sold].",
            )
    yield from _unknown("as_sold", record.mask.as_sold, context)


def check_test(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Look up what was changed."""
    yield from _unknown("configuration", record.test.configuration, context)


def _unknown(table: str, slots: Slots, context: Context) -> Iterator[Finding]:
    for slot, part in slots.filled():
        if part != REMOVED and part not in context.part_ids:
            near = nearest_id(part, context.part_ids)
            yield Finding(
                (table, slot.value),
                f"There is no part {part}: parts/{part}.toml is missing.",
                f'Did you mean "{near}"? Otherwise add parts/{part}.toml.' if near else f"Add parts/{part}.toml.",
            )


RULE = RecordRule("known-part", "Parts are known", __doc__, mask=check_mask, test=check_test)
