"""The tidy table comes back from its bytes as it was."""

from __future__ import annotations

import io

import numpy as np
import pandas as pd

from builder.findings.dataset import Dataset
from builder.findings.kept_table import as_bytes, from_bytes


def test_the_same_table_comes_back(demo: Dataset) -> None:
    table = demo.table.copy()
    table.loc[0, "notes"] = "“quoted”, <b>, \U0001f637\u202e and a line\nend"
    found = from_bytes(as_bytes(table))
    pd.testing.assert_frame_equal(found, table, check_exact=True)
    assert [type(value) for value in found.iloc[0]] == [type(value) for value in table.iloc[0]]


def test_an_empty_table_comes_back(demo: Dataset) -> None:
    empty = demo.table.iloc[:0]
    pd.testing.assert_frame_equal(from_bytes(as_bytes(empty)), empty)


def test_nothing_in_it_could_be_run(demo: Dataset) -> None:
    with np.load(io.BytesIO(as_bytes(demo.table)), allow_pickle=False) as arrays:
        assert all(array.dtype != object for array in arrays.values())
