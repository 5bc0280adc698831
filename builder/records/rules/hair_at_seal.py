"""A test with hair at the seal does not count, and says so.

With stubble or beard under the rim a fit test tells nothing about the mask (29 CFR 1910.134(g)(1)). The builder
sets such a test aside by itself and shows it with that reason; writing `set_aside = "hair at the seal"` tells
readers of the file too.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import TestRecord
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.vocabulary import HAIR_AT_SEAL


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Look for hair at the seal in a test that claims to count."""
    hair = record.test.face.facial_hair
    if hair in HAIR_AT_SEAL and not record.test.result.set_aside:
        yield Finding(
            ("face", "facial_hair"),
            f"{hair.label} (facial_hair): this test will not count.",
            'Add set_aside = "hair at the seal" to [result], or correct facial_hair.',
        )


RULE = RecordRule("hair-at-seal", "Hair at the seal sets a test aside", __doc__, severity="warning", test=check)
