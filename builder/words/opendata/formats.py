"""A table as a file: CSV, JSON, and Parquet where pyarrow is installed."""

from __future__ import annotations

import csv
import importlib.util
import io
import json
import math
from collections.abc import Callable
from typing import Any, TypeAlias, TypeVar

import pandas as pd

Plain: TypeAlias = str | int | float | bool | None
T = TypeVar("T")
_ENCODED = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def as_csv(frame: pd.DataFrame) -> str:
    """Write a table as CSV (RFC 4180) whose cells no spreadsheet takes for a formula.

    A text that begins like a formula gets an apostrophe before it, as OWASP's page on CSV injection advises.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(frame.columns)
    writer.writerows(zip(*(_mapped(values, _cell) for values in _columns(frame)), strict=True))
    return out.getvalue()


def as_json(frame: pd.DataFrame) -> str:
    """Write a table as JSON: a list of the columns' names, then one a row, each on a line of its own.

    These are the "row arrays" of a Tabular Data Resource (version 1, specs.frictionlessdata.io). What is not known is
    null.
    """
    columns = [_mapped(values, _json) for values in _columns(frame)]
    names = [_json(str(name)) for name in frame.columns]
    lines = ",\n".join(f"[{','.join(row)}]" for row in [names, *zip(*columns, strict=True)])
    return f"[\n{lines}\n]\n"


def as_objects(frame: pd.DataFrame) -> str:
    """Write a table as a JSON list of objects, one a line; what is not known is null."""
    names = [str(name) for name in frame.columns]
    rows = (dict(zip(names, row, strict=True)) for row in zip(*_columns(frame), strict=True))
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


def _columns(frame: pd.DataFrame) -> list[list[Plain]]:
    """Give a table's columns as plain values; TypeError for what has no place in a download."""
    return [_plain(frame[name].tolist()) for name in frame.columns]


def _plain(values: list[Any]) -> list[Plain]:
    kinds = set(map(type, values))
    for kind in kinds - {str, bool, int, float, type(None)}:
        raise TypeError(f"{kind.__name__} has no place in a download")
    return [_digits(value) if isinstance(value, float) else value for value in values] if float in kinds else values


def _digits(value: float) -> float | None:
    """Keep ten digits: the last bits of a sum differ from one processor to another, the figure does not."""
    return None if math.isnan(value) else float(f"{value:.10g}")


def _mapped(values: list[Plain], write: Callable[[Plain], T]) -> list[T]:
    """Write each value of a column; words, which mostly stand in many rows, once each."""
    if set(map(type, values)) != {str}:
        return [write(value) for value in values]
    known = {word: write(word) for word in set(values)}
    return [known[word] for word in values]


def _cell(value: Plain) -> Plain:
    """Give a cell as the CSV writer takes it, which prints numbers so that they read back the same."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str) and value.startswith(FORMULA_STARTS):
        return f"'{value}"
    return value


def _json(value: Plain) -> str:
    if isinstance(value, float) and value.is_integer():
        value = int(value)  # 138 instead of 138.0: JSON has one kind of number
    return _ENCODED(value)
