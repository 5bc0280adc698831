"""Numbers as people and counters write them: which mark is the decimal one, which parts thousands."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from builder.fit.arrays import FloatArray

_SPACES = " \u00a0\u2009\u202f"
_APOSTROPHES = "'’"
_EITHER = re.compile(r"[-+]?\d[\d.,]*(?:e[-+]?\d+)?", re.IGNORECASE)
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?", re.IGNORECASE)
_ROUND = 3
"""Digits between two marks that part thousands."""


@dataclass(frozen=True)
class NumberForm:
    """The decimal mark of a column, and whether the other one parts its thousands."""

    decimal: str = "."
    thousands: bool = False

    @property
    def parting(self) -> str:
        """The mark between thousands."""
        return "," if self.decimal == "." else "."


POINT = NumberForm()


def decided_mark(texts: Iterable[str]) -> str | None:
    """Give the decimal mark that some numbers cannot be read without, None where none of them decides."""
    for text in texts:
        bare = _bare(text)
        if not _EITHER.fullmatch(bare):
            continue
        points, commas = bare.count("."), bare.count(",")
        if points and commas:
            return "." if bare.rindex(".") > bare.rindex(",") else ","
        mark, other = (".", ",") if points else (",", ".")
        if points + commas > 1:
            return other
        if points + commas == 1 and not _may_part_thousands(bare, mark):
            return mark
    return None


def form_of(texts: Sequence[str], mark: str | None, *, whole: bool) -> NumberForm:
    """Give the form of a column. `mark` is the decimal mark the rest of the file decides, `whole` that it counts.

    Where nothing decides, `1,234` in a column of counts is a thousand: counts are whole. In another column it is
    beside `987`, which a fixed number of decimals would have made `987,000`; a plain `1234` beside it says decimals.
    """
    numbers = [bare for text in texts if _EITHER.fullmatch(bare := _bare(text))]
    marks = {other for bare in numbers for other in bare if other in ".,"}
    decimal = decided_mark(numbers)
    if decimal is None and len(marks) == 1:
        [only] = marks
        plain = [bare for bare in numbers if only not in bare]
        long = any(len(bare) > _ROUND for bare in plain)
        if mark is not None:
            decimal = mark
        elif long or (not whole and (only == "." or not plain)):
            decimal = only
        else:
            decimal = "," if only == "." else "."
    decimal = decimal or mark or "."
    form = NumberForm(decimal)
    return NumberForm(decimal, thousands=form.parting in marks)


def numbers(texts: Sequence[str], form: NumberForm) -> FloatArray:
    """Read a column; NaN for what is no number."""
    if form == POINT:
        try:
            values = np.array(list(map(float, texts)))
        except ValueError:
            values = np.array([_number(text, form) for text in texts])
        if any(odd in "".join(texts) for odd in "_"):  # Python alone reads 1_000 as a number
            values[["_" in text for text in texts]] = np.nan
        return values
    if not form.thousands:
        joined = "\n".join(texts)
        if "." not in joined and joined.count("\n") == len(texts) - 1:
            try:
                return np.array(list(map(float, joined.replace(",", ".").split("\n"))))
            except ValueError:
                pass
    return np.array([_number(text, form) for text in texts])


def _number(text: str, form: NumberForm) -> float:
    bare = _bare(text)
    if form.thousands and form.parting in bare:
        first, *parts = bare.partition(form.decimal)[0].lstrip("+-").split(form.parting)
        if not 1 <= len(first) <= _ROUND or any(len(part) != _ROUND for part in parts):
            return np.nan
        bare = bare.replace(form.parting, "")
    if form.decimal != ".":
        if "." in bare:
            return np.nan
        bare = bare.replace(form.decimal, ".")
    return float(bare) if _NUMBER.fullmatch(bare) else np.nan


def _bare(text: str) -> str:
    """Leave out spaces and apostrophes that part thousands."""
    text = text.strip()
    if not any(mark in text for mark in _SPACES + _APOSTROPHES):
        return text
    first, *parts = re.split(f"[{_SPACES}{_APOSTROPHES}]", text)
    sound = all(len(re.split("[.,e]", part, flags=re.IGNORECASE)[0]) == _ROUND for part in parts)
    return first + "".join(parts) if sound and 1 <= len(first.lstrip("+-")) <= _ROUND else text


def _may_part_thousands(bare: str, mark: str) -> bool:
    before, _, after = bare.lstrip("+-").partition(mark)
    return len(after) == _ROUND and after.isdigit() and 1 <= len(before) <= _ROUND and before[0] != "0"
