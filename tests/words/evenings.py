"""Takes of one wearer and mask from the demo data."""

from __future__ import annotations

import pandas as pd

from builder.findings.dataset import Dataset
from builder.fit.compare.measured_arms import UNIT


def takes_of_parts(demo: Dataset) -> pd.DataFrame:
    """Those of the first wearer who tried parts together, with the mask as sold among them."""
    for own in (own for mask in sorted(demo.factorials) for own in demo.factorials[mask]):
        takes = demo.table[(demo.table[UNIT] == [own.wearer, own.facial_hair, own.mask]).all(axis=1)]
        if own.mask in set(takes.loc[takes["counted"], "configuration"]):
            return takes
    raise AssertionError("nobody tried parts together")
