"""By which methods tests were measured: on how many wearers each, its short name, and the tests of one alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import compress
from operator import itemgetter
from typing import Any

import pandas as pd

from builder.fit.compare.methods import METHOD, Method

NOT_TOLD = "not-told"
"""Stands in a name for what is not told; no word of the vocabulary is so."""


_Row = tuple[str, ...]
"""The wearer of a test, and the words of its method."""
_ROW = itemgetter("wearer", *METHOD)


@dataclass(frozen=True)
class MethodUsed:
    """A method with the tests that count measured by it, and their wearers."""

    method: Method
    tests: int
    wearers: int

    @property
    def id(self) -> str:
        """The method's name in addresses and for the command."""
        return method_id(self.method)


@dataclass(frozen=True)
class MethodsUsed:
    """The methods of some tests that count, that of most tests first, and how many wearers these have in all."""

    each: tuple[MethodUsed, ...]
    wearers: int

    @property
    def mixed(self) -> bool:
        """Whether there is more than one."""
        return len(self.each) > 1

    @property
    def tests(self) -> int:
        """How many tests there are."""
        return sum(used.tests for used in self.each)


NONE = MethodsUsed((), 0)
"""Of no tests."""


def method_id(method: Method) -> str:
    """Name a method: its words with a dot between, which no word holds."""
    return ".".join(value or NOT_TOLD for _, value in method.levels)


def methods_used(table: pd.DataFrame) -> MethodsUsed:
    """Find the methods of the tests in a tidy table that count."""
    return _used(_counted_rows(table))


def methods_of(tests: Iterable[Mapping[str, Any]]) -> MethodsUsed:
    """Find the methods of those among some rows of a tidy table that count."""
    return _used(_ROW(test) for test in tests if test["counted"])


def methods_used_by(table: pd.DataFrame, column: str) -> dict[str, MethodsUsed]:
    """Find the methods of the tests that count by the words of a column, sorted; a word without one is left out."""
    rows: dict[str, list[_Row]] = {}
    words = compress(table[column].tolist(), table["counted"].tolist())
    for word, row in zip(words, _counted_rows(table), strict=True):
        rows.setdefault(word, []).append(row)
    return {word: _used(rows[word]) for word in sorted(rows)}


# Counted in lists: a group-by costs as much for each of many masks as all of their tests do here.
def _counted_rows(table: pd.DataFrame) -> Iterator[_Row]:
    columns = (table[name].tolist() for name in ("wearer", *METHOD))
    return compress(zip(*columns, strict=True), table["counted"].tolist())


def _used(rows: Iterable[_Row]) -> MethodsUsed:
    found: dict[tuple[str, ...], list[str]] = {}
    for wearer, *words in rows:
        found.setdefault(tuple(words), []).append(wearer)
    each = [MethodUsed(Method(*words), len(own), len(set(own))) for words, own in sorted(found.items())]
    everyone = {wearer for own in found.values() for wearer in own}
    return MethodsUsed(tuple(sorted(each, key=lambda used: -used.tests)), len(everyone))


def measured_by(table: pd.DataFrame, method: Method) -> pd.DataFrame:
    """Give the rows of a tidy table that were measured by a method, set aside or not."""
    alike = pd.Series(True, index=table.index)
    for name, value in method.levels:
        alike &= table[name] == value
    return table[alike]
