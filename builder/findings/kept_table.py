"""The tidy table as bytes, to be kept from one run to the next: nothing in it is ever run when it is read."""

from __future__ import annotations

import hashlib
import io
import json

import numpy as np
import pandas as pd

from builder.findings.table import COLUMNS, tidy_table
from builder.records.remembered import Examination

_WORDS = "words of "


def remembered_table(examined: Examination) -> pd.DataFrame:
    """Give the tidy table of a folder without errors, worked out only if nobody did before."""
    key = examined.key("table")
    kept = examined.memory.recall(key)
    if kept is not None:
        return from_bytes(kept)
    known = examined.known.rows if examined.known else None
    table = tidy_table(examined.checked.entries, known)
    examined.memory.keep(key, as_bytes(table))
    return table


def fingerprint(table: pd.DataFrame) -> bytes:
    """Give a fingerprint of all that a tidy table holds."""
    return hashlib.sha256(pd.util.hash_pandas_object(table).to_numpy().tobytes()).digest()


def as_bytes(table: pd.DataFrame) -> bytes:
    """Write a tidy table: numbers as they are, texts as numbers of the words in a list."""
    arrays: dict[str, np.ndarray[tuple[int], np.dtype[np.generic]]] = {}
    for name, column in COLUMNS.items():
        if column.dtype == "str":
            codes, words = pd.factorize(table[name])
            arrays[name] = codes.astype(np.int32)
            text = json.dumps(words.tolist(), ensure_ascii=True, separators=(",", ":"))
            arrays[_WORDS + name] = np.frombuffer(text.encode(), dtype=np.uint8)
        else:
            arrays[name] = table[name].to_numpy()
    stream = io.BytesIO()
    np.savez(stream, allow_pickle=False, **arrays)
    return stream.getvalue()


def from_bytes(content: bytes) -> pd.DataFrame:
    """Read what `as_bytes` wrote: the same table, to the bit and the type."""
    columns: dict[str, pd.Series] = {}
    with np.load(io.BytesIO(content), allow_pickle=False) as arrays:
        for name, column in COLUMNS.items():
            values = arrays[name]
            if column.dtype == "str":
                words = np.array([*json.loads(arrays[_WORDS + name].tobytes()), ""], dtype=object)
                values = words[values]
            columns[name] = pd.Series(values, dtype=values.dtype)
    return pd.DataFrame(columns)
