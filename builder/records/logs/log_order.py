"""The rows of a log in order of time, each with the time of its end, whatever order and time they were written with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields, replace
from typing import Any

import numpy as np

from builder.fit.arrays import IntArray
from builder.fit.counts.run_log import Rows
from builder.records.logs.log_layout import LogLayout
from builder.records.logs.log_times import Midnights


def in_order(chunks: Iterable[Rows], layout: LogLayout) -> Iterator[Rows]:
    """Turn a log round whose newest row stands first, count its midnights, and make ends of starts."""
    if layout.newest_first:
        chunks = (_some(rows, np.arange(rows.number.size)[::-1]) for rows in reversed(list(chunks)))
    if layout.clock:
        chunks = _unrolled(chunks)
    if "start" not in layout.columns:
        return iter(chunks)
    return _from_start(chunks) if "duration" in layout.columns else _ended(chunks)


def _unrolled(chunks: Iterable[Rows]) -> Iterator[Rows]:
    midnights = Midnights()
    for rows in chunks:
        yield rows if rows.dated else replace(rows, seconds=midnights.unrolled(rows.seconds))


def _from_start(chunks: Iterable[Rows]) -> Iterator[Rows]:
    """Let each row end as long after its start as it lasted, and the first one begin at 0."""
    first = np.nan
    for rows in chunks:
        first = float(rows.seconds[0]) if np.isnan(first) else first
        yield replace(rows, seconds=rows.seconds - first + (0.0 if rows.lengths is None else rows.lengths))


def _ended(chunks: Iterable[Rows]) -> Iterator[Rows]:
    """Let each row end where the next one begins, and the last after the usual interval."""
    held: Rows | None = None
    first, usual = np.nan, 0.0
    for read in chunks:
        rows = read if held is None else _joined(held, read)
        if held is None:
            first = float(rows.seconds[0])
        steps = np.diff(rows.seconds)
        usual = usual or (float(np.median(steps[steps > 0])) if (steps > 0).any() else 0.0)
        if steps.size:
            yield replace(_some(rows, np.arange(steps.size)), seconds=rows.seconds[1:] - first)
        held = _some(rows, np.array([rows.number.size - 1]))
    if held is not None:
        yield replace(held, seconds=held.seconds - first + usual)


def _some(rows: Rows, places: IntArray) -> Rows:
    arrays = {one.name: getattr(rows, one.name) for one in fields(rows)}
    taken: dict[str, Any] = {name: array[places] for name, array in arrays.items() if isinstance(array, np.ndarray)}
    return replace(rows, **taken)


def _joined(one: Rows, other: Rows) -> Rows:
    arrays = {column.name: (getattr(one, column.name), getattr(other, column.name)) for column in fields(one)}
    joined: dict[str, Any] = {
        name: np.concatenate(pair) for name, pair in arrays.items() if isinstance(pair[0], np.ndarray)
    }
    return replace(other, **joined)
