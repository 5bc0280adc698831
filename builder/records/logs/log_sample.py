"""The first rows of a log under the names of their columns: what each column holds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from builder.records.logs.log_header import LogHeader
from builder.records.logs.log_messages import log_message
from builder.records.logs.log_numbers import NumberForm, decided_mark, form_of, numbers
from builder.records.logs.log_text import cells_of, is_comment
from builder.records.logs.log_words import Measure, words
from builder.records.nearest_words import nearest
from builder.records.problems import quoted

MOSTLY = 0.8
"""A column holds what so much of it is."""


@dataclass(frozen=True)
class LogColumn:
    """Where a column is, what it is called, and how its numbers are written."""

    place: int
    name: str
    measure: Measure | None = None
    factor: float = 1.0
    form: NumberForm = field(default_factory=NumberForm)


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
        self.mark = decided_mark([text for texts in self.texts for text in texts])

    def column(self, place: int, *, whole: bool | None = None) -> LogColumn:
        """Describe a column; `whole` says whether it counts, where its name does not."""
        named = self.header.found[place]
        counts = (named is not None and named.measure == "particles") if whole is None else whole
        return LogColumn(
            place,
            self.header.names[place].strip() or f"{place + 1}",
            named.measure if named else None,
            named.factor if named else 1.0,
            self.form(place, whole=counts),
        )

    def form(self, place: int, *, whole: bool) -> NumberForm:
        """Give the form of the numbers in a column."""
        return form_of(self.texts[place], self.mark, whole=whole)

    def numeric(self, place: int) -> bool:
        """Whether a column holds numbers."""
        texts = self.filled(place)
        values = numbers(texts, self.form(place, whole=False))
        return bool(texts) and int(np.isfinite(values).sum()) >= MOSTLY * len(texts)

    def increases(self, place: int) -> bool:
        """Whether a column holds numbers that do not fall, as times do."""
        if not self.numeric(place):
            return False
        values = numbers(self.filled(place), self.form(place, whole=False))
        return int((np.diff(values) >= 0).sum()) >= MOSTLY * (len(values) - 1)

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
            for name, named in zip(self.header.names, self.header.found, strict=True)
            if named is None
        }
        for name in words()["columns"][role]:
            if len(name) > 3 and (near := nearest(name, unknown)):
                return log_message("meant_column_remedy", column=role, name=quoted(unknown[near[0]]))
        return otherwise
