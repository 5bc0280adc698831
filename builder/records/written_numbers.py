"""Numbers in a table as people write them: with a decimal point or comma, with marks between thousands, as a limit.

Each number is read by itself where that can be done in one way. `1,234` cannot: the rest of the table decides, and
where that says nothing, or both, it is asked back.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from builder.records.logs.log_numbers import NumberForm, decided_mark, numbers
from builder.records.problems import quoted

MARKS = {"point": ".", "comma": ","}
"""Decimal marks by what people call them."""

_LIMIT = re.compile(r"(?:>=?|≥|at least)\s*(?P<before>.+)|(?P<behind>.+?)\s*\+", re.IGNORECASE)


@dataclass(frozen=True)
class DecimalMark:
    """The decimal mark of a table for numbers that can be read in two ways; "" asks back.

    `usual` says that a point is decimal unless something else is known, as in files that part columns by commas.
    """

    mark: str
    usual: bool

    @classmethod
    def of(cls, texts: Iterable[str], delimiter: str, said: str | None) -> DecimalMark:
        """Find it: what was `said`, else the one mark that other numbers of the table cannot be read without."""
        marks = {mark for text in texts if (mark := decided_mark([text]))}
        mark = MARKS[said] if said else marks.pop() if len(marks) == 1 else ""
        return cls(mark, delimiter == "," and not marks)

    def read(self, text: str) -> str | AmbiguousNumber:
        """Write a number as Python reads it; what is no number stays as it is."""
        marks = {mark for mark in text if mark in ".,"}
        decimal = decided_mark([text])
        if decimal is None and marks:
            [only] = marks
            decimal = self.mark or ("." if self.usual and only == "." else "")
            if not decimal:
                return AmbiguousNumber(text, only)
        form = NumberForm(decimal or ".")
        form = NumberForm(form.decimal, thousands=form.parting in marks)
        value = float(numbers([text], form)[0])
        if not math.isfinite(value):
            return text
        return str(int(value)) if value.is_integer() else repr(value)


@dataclass(frozen=True)
class AmbiguousNumber:
    """A number that can be read in two ways, and the mark in it."""

    text: str
    mark: str

    @property
    def problem(self) -> str:
        """Say both."""
        parts = self.text.strip().replace(self.mark, ""), self.text.strip().replace(self.mark, ".")
        return f"{quoted(self.text.strip())} is {parts[1]} or {parts[0]}: nothing in the table says which."


AMBIGUOUS_NUMBER_REMEDY = "Say which by --decimal point or --decimal comma, or write 1234 or 1.2340."


def limit_in(text: str) -> str | None:
    """Give the number in a text such as `>500`, `≥ 500` or `500+`, which is a lower limit; None for another text."""
    found = _LIMIT.fullmatch(text.strip())
    return (found["before"] or found["behind"]) if found else None
