"""The mask of a test has a file of its own: `masks/<mask>.toml`.

Add the mask first, or in the same pull request. A new size of a known model is a new mask, since each size seals
differently.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from builder.records.entries import TestRecord
from builder.records.nearest_words import nearest
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Look the mask up, unless folder and content disagree about which it is."""
    mask = record.test.mask
    if mask not in context.mask_ids and mask == record.id.partition("/")[0]:
        near = nearest_id(mask, context.mask_ids)
        yield Finding(
            ("mask",),
            f"There is no mask {mask}: masks/{mask}.toml is missing.",
            f'Did you mean "{near}"? Otherwise add masks/{mask}.toml.' if near else f"Add masks/{mask}.toml.",
        )


@lru_cache
def nearest_id(wanted: str, known: frozenset[str]) -> str | None:
    """Find the known id that was probably meant."""
    return next(iter(nearest(wanted, known)), None)


RULE = RecordRule("known-mask", "The mask is known", __doc__, test=check)
