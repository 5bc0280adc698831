"""Different wearers get different fit factors.

Faces differ, and donnings do. Where a contributor gives the very same value for four wearers and more in one
configuration, and for at least half of those they tested in it, a default was left standing or a row was filled down. A
value of 1, which is no protection at all, and readings that are "at least" repeat by nature and are not compared. The
numbers are common practice, no published source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from builder.records.entries import Entries, TestRecord
from builder.records.models import Slots
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule

FEWEST_WEARERS = 4
SHARE = 0.5


def check(entries: Entries, context: Context) -> Iterator[Finding]:
    """Count the wearers of each value, by contributor and configuration."""
    wearers: dict[tuple[str, str, Slots], set[str]] = defaultdict(set)
    values: dict[tuple[str, str, Slots], dict[float, list[TestRecord]]] = defaultdict(lambda: defaultdict(list))
    for record in entries.tests:
        test = record.test
        key = test.contributor, test.mask, test.configuration
        wearers[key].add(test.face.wearer)
        value = test.result.fit_factor
        if value is not None and value > 1 and not test.result.at_least:
            values[key][value].append(record)
    for key, everybody in wearers.items():
        for value, records in values[key].items() if len(everybody) >= FEWEST_WEARERS else ():
            same = {record.test.face.wearer for record in records}
            if len(same) >= max(FEWEST_WEARERS, SHARE * len(everybody)):
                yield Finding(
                    ("result", "fit_factor"),
                    f"{len(same)} wearers have the very same fit factor, {value:g}, by {key[0]}.",
                    "Write what was measured on each; if the instrument shows no more, add at_least = true.",
                    path=records[-1].path,
                    other=records[0].path,
                )


RULE = RecordRule("one-value", "Wearers differ", __doc__, severity="warning", entries=check)
