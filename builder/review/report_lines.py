"""What several sections of the report are made of: lists that are cut, medians, values that differ."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

from builder.records.key_changes import KeyChange
from builder.review.escaping import code, plain
from builder.review.moves import ConfigurationMedian
from builder.words.catalogue import count
from builder.words.numbers import fit

MOST = 40
"""Lines of one list: who adds hundreds of tests is better served by the figures than by their names."""

MOST_KEYS = 6
Listed = TypeVar("Listed")


def listed(items: Iterable[Listed], line: Callable[[Listed], str]) -> Iterator[str]:
    items = list(items)
    yield from map(line, items[:MOST])
    yield from ("", *rest(len(items)))


def rest(items: int) -> tuple[str, ...]:
    return (f"… and {count('more', items - MOST)}.", "") if items > MOST else ()


def median(median: ConfigurationMedian | None) -> str:
    if median is None:
        return "–"
    n = f"{count('test', median.tests)}, {count('wearer', median.wearers)}"
    return f"**{fit(median.fit_factor, median.at_least)}** ({n})"


def key_change(change: KeyChange) -> str:
    return f"{code(change.key)} {plain(change.before) or 'not there'} → {plain(change.after) or 'not there'}"


def key_changes_of(keys: tuple[KeyChange, ...]) -> str:
    """Say the values that differ, the first of them."""
    more = f"; and {count('more_key', len(keys) - MOST_KEYS)}" if len(keys) > MOST_KEYS else ""
    return "; ".join(map(key_change, keys[:MOST_KEYS])) + more
