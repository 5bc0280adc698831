"""An old name leads on to what has another name now.

A mask, a part or a test may get another id; `sealbook rename`, `split` and `join` write a line in `removed.toml`
then, and the page at the old address leads on:

```toml
[[renamed]]
mask = "drum-cup"
to = ["drum-cup-medium"]
date = 2026-10-02
```

The old id is not there any more, `to` is. A mask that was split into sizes has several. Nothing is on the list twice.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import RemovedRecord
from builder.records.problems import Finding, Key
from builder.records.rules.base import Context, RecordRule
from builder.records.rules.known_mask import nearest_id


def check(record: RemovedRecord, context: Context) -> Iterator[Finding]:
    """Compare old and new names with the files that are there, and the list with itself."""
    there = {"mask": context.mask_ids, "part": context.part_ids, "test": context.test_ids}
    removed = record.removed.removed
    gone = {
        "mask": frozenset(line.mask for line in removed if line.mask),
        "part": frozenset[str](),
        "test": frozenset(line.test for line in removed if line.test),
    }
    seen: set[tuple[str, str]] = set()
    for number, line in enumerate(record.removed.renamed):
        kind, old = line.kind, line.old
        key: Key = ("renamed", number, kind)
        if (kind, old) in seen:
            yield Finding(key, f"{old} is listed twice.", "Keep one of the two.")
        elif old in there[kind]:
            yield Finding(
                key,
                f"{old} is listed as an old name, but {kind}s/{old}.toml is there.",
                "Take the line off this list, or give that file another name.",
            )
        seen.add((kind, old))
        for place, new in enumerate(line.to):
            if new not in there[kind] | gone[kind]:
                near = nearest_id(new, there[kind])
                yield Finding(
                    ("renamed", number, "to", place),
                    f"There is no {kind} {new}, so {old} leads nowhere.",
                    f'Did you mean "{near}"?' if near else "Write the id that it has now.",
                )


RULE = RecordRule("renamed-entry", "An old name leads on", __doc__, removed=check)
