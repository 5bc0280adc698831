"""The first rows of a log under the names of their columns: what each column holds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from builder.fit.arrays import FloatArray
from builder.records.logs.log_cells import bare_number, odd_cell, unit_behind
from builder.records.logs.log_header import LogHeader
from builder.records.logs.log_messages import log_message
from builder.records.logs.log_numbers import NumberForm, decided_mark, form_of, numbers
from builder.records.logs.log_text import cells_of, is_comment
from builder.records.logs.log_times import clock_seconds, is_clock
from builder.records.logs.log_words import Measure, named_column, words
from builder.records.nearest_words import nearest
from builder.records.problems import quoted

MOSTLY = 0.8
"""A column holds what so much of it is."""

FEW_ROWS = 20


@dataclass(frozen=True)
class LogColumn:
    """Where a column is, what it is called, and how its numbers are written."""

    place: int
    name: str
    measure: Measure | None = None
    factor: float = 1.0
    form: NumberForm = field(default_factory=NumberForm)
    unit: str = ""
    """What stands behind the numbers in the cells."""


class LogSample:
    """The first rows of a log, and what can be asked of their columns."""

    def __init__(self, header: LogHeader, lines: Sequence[str]) -> None:
        self.header = header
        self.width = len(header.names)
        rows = [
            cells_of(line.rstrip("\r\n"), header.delimiter)
            for line in lines
            if line.strip() and not is_comment(line, header.delimiter)
        ]
        rows = [row for row in rows if len(row) >= self.width - 1]
        self.texts = [[row[place].strip() if place < len(row) else "" for row in rows] for place in range(self.width)]
        self.units = [self._unit(place) for place in range(self.width)]
        self.texts = [
            [bare_number(text, unit) for text in texts] for unit, texts in zip(self.units, self.texts, strict=True)
        ]
        self.found = [
            (unit and named_column(name, unit)) or named
            for name, named, unit in zip(header.names, header.found, self.units, strict=True)
        ]
        self.mark = decided_mark([text for texts in self.texts for text in texts])

    def column(self, place: int, *, whole: bool | None = None) -> LogColumn:
        """Describe a column; `whole` says whether it counts, where its name does not."""
        named = self.found[place]
        counts = (named is not None and named.measure == "particles") if whole is None else whole
        return LogColumn(
            place,
            self.header.names[place].strip() or f"{place + 1}",
            named.measure if named else None,
            named.factor if named else 1.0,
            self.form(place, whole=counts),
            self.units[place],
        )

    def form(self, place: int, *, whole: bool) -> NumberForm:
        """Give the form of the numbers in a column."""
        return form_of(self.texts[place], self.mark, whole=whole)

    def numeric(self, place: int) -> bool:
        """Whether a column holds numbers, or what stands for one that is missing."""
        texts = [text for text in self.filled(place) if odd_cell(text) is None]
        return bool(texts) and int(np.isfinite(self._values(texts, place)).sum()) >= MOSTLY * len(texts)

    def increases(self, place: int) -> bool:
        """Whether a column holds numbers that do not fall, as times do."""
        return self.numeric(place) and self._mostly_steps(self._values(self.filled(place), place), 1)

    def falls(self, place: int) -> bool:
        """Whether a column holds numbers, or clock times, of which each is below the one before."""
        texts = self.filled(place)
        values = clock_seconds(texts)[0] if self.mostly(place, is_clock) else self._values(texts, place)
        return len(texts) > FEW_ROWS and self._mostly_steps(values, -1)

    def numbers(self, place: int, rows: int) -> FloatArray:
        """Give the numbers in the first rows of a column."""
        return self._values(self.texts[place][:rows], place)

    def _values(self, texts: Sequence[str], place: int) -> FloatArray:
        return numbers(texts, self.form(place, whole=False))

    def _mostly_steps(self, values: FloatArray, direction: int) -> bool:
        steps = np.diff(values) * direction
        return int((steps >= 0 if direction > 0 else steps > 0).sum()) >= MOSTLY * steps.size

    def _unit(self, place: int) -> str:
        """Give the unit that stands behind the numbers in most cells of a column; "" for none."""
        texts = self.filled(place)
        units = Counter(filter(None, map(unit_behind, texts[:FEW_ROWS])))
        unit, _ = units.most_common(1)[0] if units else ("", 0)
        return unit if unit and sum(unit_behind(text) == unit for text in texts) > MOSTLY * len(texts) else ""

    def guessed(self, place: int) -> Measure:
        """Guess what a column of readings holds: whole numbers are counts."""
        values = numbers(self.texts[place], self.form(place, whole=True))
        values = values[np.isfinite(values)]
        return "particles" if bool((values == np.floor(values)).all()) else "concentration"

    def mostly(self, place: int, holds: Callable[[str], bool]) -> bool:
        """Whether something holds of most of a column's cells."""
        texts = self.filled(place)
        return bool(texts) and sum(map(holds, texts)) / len(texts) > MOSTLY

    def filled(self, place: int) -> list[str]:
        """Give the cells of a column that are not blank."""
        return [text for text in self.texts[place] if text]

    def remedy(self, role: str, otherwise: str) -> str:
        """Name the column that was probably meant."""
        unknown = {
            name.strip().lower(): name.strip()
            for name, named in zip(self.header.names, self.found, strict=True)
            if named is None
        }
        for name in words()["columns"][role]:
            if len(name) > 3 and (near := nearest(name, unknown)):
                return log_message("meant_column_remedy", column=role, name=quoted(unknown[near[0]]))
        return otherwise
