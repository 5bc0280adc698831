"""What `removed.toml` lists was taken out, and its place is still known.

A published test keeps its address. When it has to go, its file is deleted and a line says why, and old links lead
to that line:

```toml
[[removed]]
test = "drum-cup/2026-09-12-blue-heron-1"
date = 2026-10-02
reason = "The hose was loose, as the wearer found out later."
```

The line stands on the page of the test's mask. If the mask was taken out too, it has a line with `mask` instead of
`test`. A test whose file is still there cannot be on the list, and nothing is on it twice. A take that went wrong
need not go at all: `result.set_aside` keeps it in sight without counting it. Where a person withdrew all of their
tests, `sealbook withdraw` writes how many they were, and names nobody.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import RemovedRecord
from builder.records.file_names import name_parts
from builder.records.kept_addresses import Removal
from builder.records.problems import Finding, Key
from builder.records.rules.base import Context, RecordRule
from builder.records.rules.known_mask import nearest_id


def check(record: RemovedRecord, context: Context) -> Iterator[Finding]:
    """Compare the list with the files that are there, and with itself."""
    removals = record.removed.removed
    masks = frozenset(removal.mask for removal in removals if removal.mask)
    seen: set[str] = set()
    for number, removal in enumerate(removals):
        kind, name = ("mask", removal.mask) if removal.mask else ("test", removal.test or "")
        key: Key = ("removed", number, kind)
        if name in seen:
            yield Finding(key, f"{name} is listed twice.", "Keep one of the two.")
        elif name in (context.mask_ids if removal.mask else context.test_ids):
            yield Finding(
                key,
                f"{name} is listed as taken out, but {kind}s/{name}.toml is there.",
                "Delete that file, or take it off this list.",
            )
        elif removal.test:
            yield from _of_test(removal, removal.test, number, context.mask_ids | masks)
        seen.add(name)
    for number, line in enumerate(record.removed.withdrawn):
        if line.mask not in context.mask_ids | masks:
            yield _no_page(line.mask, context.mask_ids | masks, ("withdrawn", number, "mask"))


def _no_page(mask: str, masks: frozenset[str], key: Key) -> Finding:
    near = nearest_id(mask, masks)
    meant = f'Did you mean "{near}"?' if near else "Correct it."
    return Finding(
        key,
        f"There is no mask {mask}, so this line has no page to stand on.",
        f'{meant} If the mask went too, add a line with mask = "{mask}".',
    )


def _of_test(removal: Removal, test: str, number: int, masks: frozenset[str]) -> Iterator[Finding]:
    """Look at mask and date in the id of a test."""
    mask, _, stem = test.partition("/")
    key: Key = ("removed", number, "test")
    if mask not in masks:
        yield _no_page(mask, masks, key)
    name = name_parts(stem)
    if name is None:
        yield Finding(key, f"{stem[:10]} is no day.", "Write the path of its file below tests/, without .toml.")
    elif removal.date < name.date:
        yield Finding(
            ("removed", number, "date"),
            f"{removal.date} is before the day of the test, {name.date}.",
            "Write the day it was taken out as year-month-day.",
        )


RULE = RecordRule("removed-test", "What is listed as taken out is gone", __doc__, removed=check)
