"""The rows of a log that hold readings: the header again, blank rows and what stands below the readings left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from builder.fit.counted import counted
from builder.fit.counts.log_clock import Irregular
from builder.records.csv_tables import RowChunk, TableProblems
from builder.records.logs.log_cells import bare_number, odd_cell
from builder.records.logs.log_layout import LogLayout
from builder.records.logs.log_messages import log_message
from builder.records.logs.log_numbers import numbers
from builder.records.logs.log_sample import LogColumn
from builder.records.logs.log_times import is_clock
from builder.records.logs.log_words import said_phase

MOST_BELOW = 200
"""So many lines may stand below the readings; more without a time are something else."""

Remarks = dict[str, Irregular]
"""What is odd in how a log is written, by the id of the doubt."""


def note_remark(remarks: Remarks, name: str, rows: Sequence[int]) -> None:
    """Count rows of which something is odd."""
    if rows:
        remarks.setdefault(name, Irregular()).note(np.array(rows), np.zeros(len(rows)))


class LogLines:
    """Passes on the rows of readings, each as wide as the header, chunk by chunk."""

    def __init__(self, layout: LogLayout, problems: TableProblems, remarks: Remarks) -> None:
        self.layout, self.problems, self.remarks = layout, problems, remarks
        self.names = [name.strip() for name in layout.names]
        self.needed = max(column.place for column in layout.columns.values()) + 1

    def rows(self, chunks: Iterable[RowChunk]) -> Iterator[RowChunk]:
        """Give the rows; lines without a time at the end of all are counted, elsewhere they are rows with a fault."""
        held, begun = RowChunk([], []), False
        for read in chunks:
            chunk = self._without_headers(RowChunk([*held.numbers, *read.numbers], [*held.rows, *read.rows]))
            end = len(chunk.rows)
            while end and self._is_below(chunk.rows[end - 1]):
                end -= 1
            if (not end and not begun) or len(chunk.rows) - end > MOST_BELOW:
                end = len(chunk.rows)
            begun = begun or end > 0
            held = RowChunk(chunk.numbers[end:], chunk.rows[end:])
            if (whole := self._whole(RowChunk(chunk.numbers[:end], chunk.rows[:end]))).rows:
                yield whole
        note_remark(self.remarks, "lines_below", held.numbers)

    def _without_headers(self, chunk: RowChunk) -> RowChunk:
        """Leave out the header where it stands again, and rows without a word."""
        place, name = self.layout.time.place, self.names[self.layout.time.place]
        odd = [
            at
            for at, row in enumerate(chunk.rows)
            if (not (cell := row[place].strip() if place < len(row) else "") or cell == name)
            and (not any(map(str.strip, row)) or [one.strip() for one in row][: len(self.names)] == self.names)
        ]
        if not odd:
            return chunk
        again = [chunk.numbers[at] for at in odd if any(map(str.strip, chunk.rows[at]))]
        note_remark(self.remarks, "repeated_headers", again)
        left = sorted(set(range(len(chunk.rows))) - set(odd))
        return RowChunk([chunk.numbers[at] for at in left], [chunk.rows[at] for at in left])

    def _is_below(self, row: Sequence[str]) -> bool:
        """Whether a line has no time, and no digit where it stands or no reading beside it either."""
        columns = self.layout.columns
        if len(row) < self.needed:
            return True
        time = row[self.layout.time.place]
        if self._is_time(time):
            return False
        if not any(map(str.isdecimal, time)):
            return True
        readings = [column for role, column in columns.items() if column.measure]
        unread = not any(_is_number(row[column.place], column) for column in readings)
        return unread or ("phase" in columns and said_phase(row[columns["phase"].place]) is None)

    def _is_time(self, text: str) -> bool:
        if self.layout.clock:
            return is_clock(text)
        return bool(np.isfinite(numbers([bare_number(text, self.layout.time.unit)], self.layout.time.form)[0]))

    def _whole(self, chunk: RowChunk) -> RowChunk:
        """Note the rows that lack a column that is read, or have more values than the header has names."""
        width = self.layout.width
        if set(map(len, chunk.rows)) == {width}:
            return chunk
        kept, rows = [], []
        for number, cells in zip(chunk.numbers, chunk.rows, strict=True):
            if len(cells) >= self.needed and not any(map(str.strip, cells[width:])):
                kept.append(number)
                rows.append(([*cells] + [""] * width)[:width])
            else:
                problem = log_message("width", values=counted(len(cells), "value"), width=width)
                self.problems.add_repeated([number], "", problem, log_message("width_remedy"))
        return RowChunk(kept, rows)


def _is_number(text: str, column: LogColumn) -> bool:
    bare = bare_number(text, column.unit)
    return bool(np.isfinite(numbers([bare], column.form)[0])) or (bool(bare.strip()) and odd_cell(bare) is not None)
