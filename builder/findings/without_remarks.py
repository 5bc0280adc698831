"""What is told of tests beside their figures, and the database without it: an edit of a remark moves no figure."""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import blake2b

import pandas as pd

from builder.findings.kept_table import fingerprint
from builder.records.memory import digest_of

REMARKS = [
    *("notes", "link", "order", "helped", "glasses", "seal_check", "ambient_per_cm3", "aerosol", "probe"),
    *("specimen_lot", "specimen_hours_before", "specimen_straps_mm", "specimen_straps_notch"),
]
"""The columns of the tidy table that only lists of tests show: no figure is made of them."""


def of_others(contents: Mapping[str, bytes]) -> dict[str, bytes]:
    """Give the files of masks, of parts and of what was renamed or taken out: all but the tests."""
    return {path: content for path, content in contents.items() if not path.startswith("tests/")}


def digest_of_figures(table: pd.DataFrame, others: Mapping[str, bytes]) -> str:
    """Give a fingerprint of a tidy table without remarks and of the files of all but the tests."""
    return blake2b(fingerprint(table) + digest_of(others).encode(), digest_size=32).hexdigest()
