"""A part is put where it belongs: its own file says which slot it fills.

A nose wire written under `nose-foam` would be compared with foams. Whatever fits no slot has the slot `other`.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import MaskRecord, TestRecord
from builder.records.models import Slots
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule


def check_mask(record: MaskRecord, context: Context) -> Iterator[Finding]:
    """Compare the slots of a mask as sold with those of its parts."""
    yield from _misplaced("as_sold", record.mask.as_sold, context)


def check_test(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the slots of a configuration with those of its parts."""
    yield from _misplaced("configuration", record.test.configuration, context)


def _misplaced(table: str, slots: Slots, context: Context) -> Iterator[Finding]:
    for slot, part in slots.filled():
        known = context.parts.get(part)
        if known and known.part.slot is not slot:
            right = known.part.slot
            yield Finding(
                (table, slot.value),
                f"{part} is a part for {right}, not for {slot}.",
                f'Write {right} = "{part}", or name a part for {slot}.',
            )


RULE = RecordRule("part-slot", "Parts are in their slots", __doc__, mask=check_mask, test=check_test)
