"""What stands in a cell of readings instead of a number: nothing, the counter's limit, less than something."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache

from builder.records.logs.log_words import unit_factor, words

_ENDS_IN_UNIT = re.compile(
    r"[-+]?\d[\d.,'’ \u00a0\u2009\u202f]*(?:e[-+]?\d+)?\s*((?:(?<=\s)1/)?[^\d\s.,:/-][^\d:]*\d?[^\d:]*)", re.IGNORECASE
)


@dataclass(frozen=True)
class OddCell:
    """The remark that a cell gives reason for, and the number that stands for it, "" where the row has no reading."""

    remark: str
    number: str = ""


@lru_cache(maxsize=4096)
def odd_cell(text: str) -> OddCell | None:
    """Understand a cell that holds no number. None for one that means nothing."""
    bare = text.strip().lower()
    known = _known()
    if bare in known:
        return OddCell(known[bare])
    for remark, marks in (("below_limit", words()["cells"]["below"]), ("over_range", words()["cells"]["above"])):
        for mark in sorted(marks, key=len, reverse=True):
            rest = bare.removeprefix(mark).strip()
            if bare.startswith(mark) and rest[:1].isdecimal():
                return OddCell(remark, rest if remark == "below_limit" else "")
    return None


def unit_behind(text: str) -> str:
    """Give the unit behind the number in a cell, such as `cps` in `12 cps`; "" for none."""
    match = _ENDS_IN_UNIT.fullmatch(text.strip())
    return match[1].strip() if match and unit_factor(match[1]) else ""


def bare_number(text: str, unit: str) -> str:
    """Leave out of a cell the unit that stands behind the numbers of its column, "" for none."""
    return text.strip().removesuffix(unit).rstrip() if unit else text


@cache
def _known() -> dict[str, str]:
    table = words()["cells"]
    return dict.fromkeys(table["over"], "over_range") | dict.fromkeys(table["missing"], "missing_readings")
