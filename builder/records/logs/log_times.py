"""Times as counters write them: seconds since the start or since 1970, clock time, dates with clock time."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Sequence
from functools import cache, lru_cache

import numpy as np

from builder.fit.arrays import FloatArray
from builder.records.logs.log_words import words

DAY_S, HALF_DAY_S = 86_400.0, 43_200.0

_CLOCK = re.compile(
    r"(?:(?P<date>\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.](?:\d{4}|\d{2})"
    r"|(?:[^\W\d_]{2,10}\.?,?\s+)?\d{1,2}\.?[-/ ]?\s?[^\W\d_]{3,10}\.?[-/, ]\s?(?:\d{4}|\d{2})"
    r"|(?:[^\W\d_]{2,10}\.?,?\s+)?[^\W\d_]{3,10}\.?\s\d{1,2},?\s\d{4})(?:[T ]|,\s*)\s*)?"
    r"(?P<h>\d{1,4}):(?P<m>\d{1,2})(?::(?P<s>\d{1,2}(?:[.,]\d+)?))?(?P<f>[.,]\d+)?"
    r"\s*(?P<half>[ap]\.?m\.?)?\s*(?P<zone>z|utc|gmt|[+-]\d{2}:?\d{2})?",
    re.IGNORECASE,
)


def is_clock(text: str) -> bool:
    """Whether a text is a clock time, with a date before it or without."""
    return _CLOCK.fullmatch(text.strip()) is not None


def is_dated(text: str) -> bool:
    """Whether a clock time has a date before it."""
    match = _CLOCK.fullmatch(text.strip())
    return match is not None and match["date"] is not None


def clock_seconds(texts: Sequence[str]) -> tuple[FloatArray, bool]:
    """Read clock times, NaN for what is none, and whether they have dates. Without one they begin at midnight."""
    read = [_clock(text) for text in texts]
    return np.array([seconds for seconds, _ in read]), any(dated for _, dated in read)


class Midnights:
    """Counts the midnights that clock times without a date pass, and the noons of clocks that end at twelve."""

    def __init__(self) -> None:
        self.last = math.nan
        self.added = 0.0

    def unrolled(self, seconds: FloatArray) -> FloatArray:
        """Add the days passed so far, chunk by chunk."""
        known = np.where(np.isnan(seconds), self.last, seconds)
        steps = np.diff(known, prepend=self.last)
        full = np.where(steps < -HALF_DAY_S, DAY_S, 0.0)
        added = self.added + np.cumsum(np.where((steps >= -HALF_DAY_S) & (steps < -11 * 3600), HALF_DAY_S, full))
        if seconds.size:
            self.last, self.added = float(known[-1]), float(added[-1])
        return seconds + added


def _clock(text: str) -> tuple[float, bool]:
    match = _CLOCK.fullmatch(text.strip())
    if not match:
        return math.nan, False
    if match["s"] is None:  # minutes and seconds
        hours, minutes, seconds = 0, int(match["h"]), float(match["m"] + (match["f"] or "").replace(",", "."))
    else:
        hours, minutes, seconds = int(match["h"]), int(match["m"]), float(match["s"].replace(",", "."))
    if match["half"]:
        hours = hours % 12 + 12 * (match["half"][0] in "pP")
    if seconds >= 61 or (match["s"] and minutes >= 60):
        return math.nan, False
    days = _days(match["date"]) if match["date"] else 0.0
    return days * DAY_S + hours * 3600 + minutes * 60 + seconds - _offset(match["zone"]), bool(match["date"])


@lru_cache(maxsize=64)
def _days(date: str) -> float:
    """Days since 1970. With the year last the day stands first, unless that cannot be; with points always."""
    names = [month for name in re.findall(r"[^\W\d_]+", date) if (month := _months().get(name.lower()))]
    numbers = [int(number) for number in re.findall(r"\d+", date)]
    if len(numbers) == 2:
        return _since_1970(numbers[1], names[-1], numbers[0]) if names else math.nan
    first, second, third = numbers
    if len(re.split(r"[-/.]", date)[0]) == 4:
        year, month, day = first, second, third
    elif "/" in date and first <= 12:
        year, month, day = third, first, second
    else:
        year, month, day = third, second, first
    return _since_1970(year, month, day)


def _since_1970(year: int, month: int, day: int) -> float:
    try:
        return float((dt.date(year + 2000 * (year < 100), month, day) - dt.date(1970, 1, 1)).days)
    except ValueError:
        return math.nan


@cache
def _months() -> dict[str, int]:
    return {name: int(month) for month, names in words()["months"].items() for name in names}


def _offset(zone: str | None) -> float:
    if not zone or zone[0] not in "+-":
        return 0.0
    return (-1 if zone[0] == "-" else 1) * (int(zone[1:3]) * 3600 + int(zone[-2:]) * 60)
