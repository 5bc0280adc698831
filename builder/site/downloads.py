"""The open data: the same figures as the pages, as CSV and JSON."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterator

import pandas as pd

from builder.site.dataset import Dataset, rows_of
from builder.site.pages import PublishedFile, PublishedPage, Renderer
from builder.table import COLUMNS

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")

SUMMARY_MEANINGS = {
    "configuration": "Mask as sold, or mask+part+part with the parts in slot order.",
    "mask": "Id of the mask.",
    "parts": "The changed parts joined by +, empty as sold.",
    "tests": "Tests that count.",
    "wearers": "Wearers those tests are from.",
    "set_aside": "Takes that do not count.",
    "median_fit_factor": "Median over the tests (Kaplan–Meier where readings are at least).",
    "median_at_least": "Whether the median is itself a lower limit.",
    "lowest_fit_factor": "Lowest reading.",
    "highest_fit_factor": "Highest reading.",
    "highest_at_least": "Whether the highest reading is a lower limit.",
    "geometric_mean": "Geometric mean, lower limits taken as values.",
    "gsd": "Geometric standard deviation over the tests.",
    "til_percent": "Total inward leakage at the median, percent.",
    "wearer_median_fit_factor": "Median of each wearer's median.",
    "wearer_median_at_least": "Whether that is a lower limit.",
    "share_at_100": "Share of wearers whose own median reaches 100.",
    "share_at_100_low": "Lower end of its 95 % interval (Wilson).",
    "share_at_100_high": "Upper end of its 95 % interval (Wilson).",
    "share_wearers": "Wearers that share is taken over.",
}


def data_page(data: Dataset, render: Renderer) -> PublishedPage:
    """Offer the downloads and say what each column holds."""
    return PublishedPage(
        address="data/",
        title="Data",
        description="Every test and every configuration as CSV and JSON, under CC0, with a dictionary of the columns.",
        html=render("data.html", depth=1, columns=COLUMNS, summary_meanings=SUMMARY_MEANINGS),
        section="data.md",
    )


def download_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give tests and configurations, each as CSV and as JSON."""
    for name, frame in (("tests", data.table), ("configurations", data.summary)):
        yield PublishedFile(f"data/{name}.csv", as_csv(frame))
        yield PublishedFile(f"data/{name}.json", as_json(frame))


def as_csv(frame: pd.DataFrame) -> str:
    """Write a table as CSV (RFC 4180) whose cells no spreadsheet takes for a formula.

    A text that begins like a formula gets an apostrophe before it, as OWASP's page on CSV injection advises.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(frame.columns)
    writer.writerows([_cell(value) for value in row] for row in frame.itertuples(index=False))
    return out.getvalue()


def as_json(frame: pd.DataFrame) -> str:
    """Write a table as a JSON list of objects; what is not known is null."""
    rows = [{k: _plain(v) for k, v in row.items()} for row in rows_of(frame)]
    return json.dumps(rows, indent=1, ensure_ascii=False, allow_nan=False)


def _cell(value: object) -> str:
    plain = _plain(value)
    if plain is None:
        return ""
    if isinstance(plain, bool):
        return "true" if plain else "false"
    if isinstance(plain, str):
        return f"'{plain}" if plain.startswith(FORMULA_STARTS) else plain
    return repr(plain)


def _plain(value: object) -> str | int | float | bool | None:
    if hasattr(value, "item"):
        value = value.item()
    if isinstance(value, float):
        if math.isnan(value):
            return None
        # Ten digits: the last bits of a sum differ from one processor to another, the figure does not.
        return float(f"{value:.10g}")
    if value is None or isinstance(value, (str, bool, int)):
        return value
    raise TypeError(f"{type(value).__name__} has no place in a download")
