"""One model in one size is one mask, with one file.

Its tests would otherwise be split between two pages, each with less to say. A model sold in several sizes has
one file a size, told apart by `size`.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import Entries, MaskRecord
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule


def check(entries: Entries, context: Context) -> Iterator[Finding]:
    """Look for the maker, model and size of each mask among those before it."""
    seen: dict[tuple[str, ...], MaskRecord] = {}
    for record in entries.masks.values():
        mask = record.mask
        name = tuple(" ".join(text.casefold().split()) for text in (mask.maker, mask.model, mask.size or ""))
        first = seen.setdefault(name, record)
        if first is not record:
            yield Finding(
                ("model",),
                f"The same maker, model and size are in {context.place(first.path, ('model',))}.",
                "Keep one file, or tell the sizes apart with size.",
                path=record.path,
                other=first.path,
            )


RULE = RecordRule("same-mask", "One file for each mask", __doc__, entries=check)
