"""Real tests and invented ones do not stand in one database.

Tests with `invented = true` are demo data, made to show what pages look like. Beside real tests they enter the same
medians, effects and chances, and nobody can tell which figure is real. Delete the demo data before the first real test
(`entries/` as it comes with Sealbook is demo data), or mark what is invented.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import Entries, TestRecord
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule


def check(entries: Entries, context: Context) -> Iterator[Finding]:
    """Where both are there, name the first test on each mask of those there are fewer of."""
    invented = [record for record in entries.tests if record.test.source.invented]
    if not invented or len(invented) == len(entries.tests):
        return
    real = [record for record in entries.tests if not record.test.source.invented]
    few_are_invented = len(invented) < len(real)
    first: dict[str, TestRecord] = {}
    for record in invented if few_are_invented else real:
        first.setdefault(record.test.mask, record)
    for record in first.values():
        yield Finding(
            ("source", "invented") if few_are_invented else (),
            f"This test is {'invented' if few_are_invented else 'real'}, beside {len(real)} real and {len(invented)} "
            "invented ones: no figure would be either.",
            "Delete the demo data before real tests join it, or add invented = true to [source] if this is demo data.",
            path=record.path,
        )


RULE = RecordRule("mixed-invented", "Real tests stand alone", __doc__, severity="warning", entries=check)
