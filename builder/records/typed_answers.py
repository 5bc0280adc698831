"""What somebody types when asked: numbers with a decimal comma, days by name, words by their beginning."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from datetime import date, timedelta

from builder.records.nearest_words import nearest, plain
from builder.records.written_dates import read_date
from builder.records.written_numbers import limit_in

_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
_THOUSANDS = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
_DAYS = {"today": 0, "yesterday": 1}


class UnclearError(ValueError):
    """A text that is no answer, or could be two; says what to write instead."""


def number_typed(text: str) -> str:
    """Write a typed number as Python reads it: `31,5` as `31.5`. Raises UnclearError.

    `1,234` is asked back, for it may be either; `1.234` is what it says.
    """
    text = text.strip()
    if not _NUMBER.fullmatch(text):
        raise UnclearError(f"{text} is no number. Write a number such as 117.5 or 117,5.")
    if "," in text and _THOUSANDS.fullmatch(text):
        whole = text.replace(",", "")
        raise UnclearError(f"{text} could be {text.replace(',', '.')} or {whole}: write {whole}, or one place less.")
    return text.replace(",", ".")


def fit_factor_typed(text: str) -> tuple[str, bool]:
    """Read a typed fit factor, and whether it is a lower limit: `200+`, `>200` or `≥ 200`. Raises UnclearError."""
    limit = limit_in(text)
    return number_typed(limit or text), limit is not None


def day_typed(text: str, today: date) -> str:
    """Write a typed day as year-month-day: `today`, `yesterday`, or a date as people write it.

    What is no date stays as it is; one that could be two is asked back. Raises UnclearError.
    """
    word = text.strip().lower()
    meant = [back for name, back in _DAYS.items() if word and name.startswith(word)]
    if meant:
        return (today - timedelta(days=meant[0])).isoformat()
    written = read_date(text.strip())
    if len(written.readings) > 1:
        raise UnclearError(f"{text} could be {written.choice()}: write the year first, 2026-09-12.")
    return written.readings[0].isoformat() if written.readings else text.strip()


def word_typed(text: str, known: Iterable[str], what: str) -> str:
    """Find the word that was meant: itself, or the one that begins so, whole or part by part: `head-s`, `h-s`.

    Raises UnclearError, which names those that may have been meant.
    """
    words, wanted = list(known), plain(text)
    if wanted in words:
        return wanted
    begun = [word for word in words if word.startswith(wanted)] or [word for word in words if _parts(wanted, word)]
    if len(begun) == 1 and wanted:
        return begun[0]
    if wanted and begun:
        raise UnclearError(f"{text} begins {_listed(begun, 'and')}. Write one more letter.")
    if near := nearest(wanted, words, most=3):
        raise UnclearError(f"There is no {what} {text}. Did you mean {_listed(near, 'or')}?")
    raise UnclearError(f"There is no {what} {text}. Known: {_known(words)}.")


def _parts(wanted: str, word: str) -> bool:
    """Whether each part of a hyphened text begins a part of the word, in order."""
    parts, rest = wanted.split("-"), iter(word.split("-"))
    return all(part and any(one.startswith(part) for one in rest) for part in parts)


def _listed(words: Collection[str], conjunction: str) -> str:
    *first, last = words
    return f"{', '.join(first)} {conjunction} {last}" if first else last


def _known(words: list[str]) -> str:
    return ", ".join(words[:_MOST]) + (" …" if len(words) > _MOST else "") if words else "none"


_MOST = 20
