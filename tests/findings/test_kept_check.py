"""A check of the model that was kept is the one that was made, to the bit and the type."""

from __future__ import annotations

from dataclasses import fields, replace

import pandas as pd

from builder.findings.dataset import Dataset
from builder.findings.kept_check import as_bytes, from_bytes
from builder.fit.facemodel import Validation


def test_what_was_kept_is_what_was_made(demo: Dataset) -> None:
    assert demo.validation is not None
    passed = demo.validation.tests["passed"].copy()
    passed.iloc[0] = pd.NA  # an "at least" reading that may have passed
    made = replace(demo.validation, tests=demo.validation.tests.assign(passed=passed))
    read = from_bytes(as_bytes(made))
    for name in (field.name for field in fields(Validation)):
        one, other = getattr(made, name), getattr(read, name)
        if isinstance(one, pd.DataFrame):
            pd.testing.assert_frame_equal(one, other, check_exact=True, check_index_type=False, check_column_type=False)
        else:
            assert one == other
            assert type(one) is type(other)
