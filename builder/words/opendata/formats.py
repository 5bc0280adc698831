"""A table as a file: CSV, JSON, and Parquet where pyarrow is installed."""

from __future__ import annotations

import csv
import importlib.util
import io
import json
import math

import pandas as pd

from builder.findings.dataset import rows_of

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


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
    """Write a table as a JSON list of objects, one a line; what is not known is null."""
    rows = ({name: _plain(value) for name, value in row.items()} for row in rows_of(frame))
    lines = ",\n".join(json.dumps(row, ensure_ascii=False, allow_nan=False) for row in rows)
    return f"[\n{lines}\n]\n"


def can_write_parquet() -> bool:
    """Whether pyarrow is installed, which nothing else needs."""
    return importlib.util.find_spec("pyarrow") is not None


def as_parquet(frame: pd.DataFrame) -> bytes:
    """Write a table as Parquet. ImportError without pyarrow."""
    content = frame.to_parquet(None, engine="pyarrow", index=False)
    assert content is not None  # None only where a path is given
    return content


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
