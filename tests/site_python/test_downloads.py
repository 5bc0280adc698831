"""The open data says what the tables say, and no cell of it is a formula."""

from __future__ import annotations

import csv
import io
import json

import pandas as pd
import pytest

from builder.site.dataset import Dataset
from builder.site.downloads import SUMMARY_MEANINGS, as_csv, as_json, download_files
from builder.table import COLUMNS


# The characters that OWASP, "CSV Injection", names as starts of a formula, and their full-width forms.
@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"])
def test_no_cell_begins_a_formula(start: str) -> None:
    text = as_csv(pd.DataFrame({"notes": [f"{start}1+1"]}))
    assert list(csv.reader(io.StringIO(text, newline="")))[1] == [f"'{start}1+1"]


def test_a_negative_number_stays_a_number() -> None:
    assert as_csv(pd.DataFrame({"x": [-1.5]})) == "x\r\n-1.5\r\n"


def test_csv_and_json_read_back_to_the_table(demo: Dataset) -> None:
    back = pd.read_csv(io.StringIO(as_csv(demo.table)), keep_default_na=False)
    assert back["test"].tolist() == demo.table["test"].tolist()
    assert back["fit_factor"].astype(float).tolist() == pytest.approx(demo.table["fit_factor"].tolist())
    rows = json.loads(as_json(demo.summary))
    assert [row["configuration"] for row in rows] == demo.summary["configuration"].tolist()


def test_nothing_known_is_null_and_empty() -> None:
    frame = pd.DataFrame({"a": [float("nan")], "b": [True]})
    assert json.loads(as_json(frame)) == [{"a": None, "b": True}]
    assert as_csv(frame) == "a,b\r\n,true\r\n"


def test_what_has_no_place_in_a_download_is_refused() -> None:
    with pytest.raises(TypeError, match="list"):
        as_json(pd.DataFrame({"a": [[1]]}))


def test_every_column_is_explained(demo: Dataset) -> None:
    assert list(COLUMNS) == demo.table.columns.tolist()
    assert list(SUMMARY_MEANINGS) == demo.summary.columns.tolist()


def test_downloads_come_out_the_same_twice(demo: Dataset) -> None:
    assert list(download_files(demo)) == list(download_files(demo))
