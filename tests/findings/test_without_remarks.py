"""The database without remarks holds none of them, and has another fingerprint when anything else moves."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from builder.findings.dataset import Dataset
from builder.findings.table import COLUMNS
from builder.findings.without_remarks import REMARKS


@pytest.fixture(scope="module")
def digest(demo: Dataset) -> str:
    return demo.figured.digest


def changed(data: Dataset, name: str, row: int) -> Dataset:
    """Give a database with another value in a column of one test."""
    table = data.table.copy()
    values = table[name].tolist()
    before = values[row]
    if isinstance(before, str):
        values[row] = f"{before}x"
    elif isinstance(before, bool):
        values[row] = not before
    else:
        values[row] = 0.5 if math.isnan(before) else before + 1
    return replace(data, table=table.assign(**{name: values}).astype({name: table[name].dtype}))


def test_no_remark_and_no_file_of_a_test_is_within_reach(demo: Dataset) -> None:
    seen = demo.figured
    assert [name for name in COLUMNS if name not in seen.table] == [name for name in COLUMNS if name in REMARKS]
    assert seen.contents.keys() == {path for path in demo.contents if path.split("/")[0] != "tests"}
    assert not (seen.root / "tests").exists()
    assert all(list(own.table) == list(seen.table) for own in seen.by_method.values())


@pytest.mark.parametrize("name", COLUMNS)
def test_a_column_is_a_remark_or_moves_the_fingerprint(demo: Dataset, digest: str, name: str) -> None:
    for row in (0, len(demo.table) - 1):
        assert (changed(demo, name, row).figured.digest == digest) == (name in REMARKS)


def test_a_file_that_is_no_test_moves_it_and_a_test_does_not(demo: Dataset, digest: str) -> None:
    for path in ("masks/new.toml", "parts/new.toml", "removed.toml", "masks/new.png"):
        assert replace(demo, contents={**demo.contents, path: b""}).figured.digest != digest
    test = next(path for path in demo.contents if path.startswith("tests/"))
    assert replace(demo, contents={**demo.contents, test: b""}).figured.digest == digest


def test_in_haste_and_without_files_nothing_is_told_apart(demo: Dataset) -> None:
    hasty = replace(demo, hasty=True)
    assert hasty.figured is hasty
    assert replace(demo, digest="").figured.digest == ""
