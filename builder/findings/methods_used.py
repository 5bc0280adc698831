"""By which methods tests were measured: on how many wearers each, its short name, and the tests of one alone."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from builder.fit.compare.methods import METHOD, Method

NOT_TOLD = "not-told"
"""Stands in a name for what is not told; no word of the vocabulary is so."""


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
    counted = table[table["counted"]]
    grouped = counted.groupby(METHOD, sort=True)["wearer"].agg(["size", "nunique"]).reset_index()
    columns = [grouped[name].tolist() for name in grouped.columns]
    each = [MethodUsed(Method(*words), tests, wearers) for *words, tests, wearers in zip(*columns, strict=True)]
    return MethodsUsed(tuple(sorted(each, key=lambda used: -used.tests)), int(counted["wearer"].nunique()))


def measured_by(table: pd.DataFrame, method: Method) -> pd.DataFrame:
    """Give the rows of a tidy table that were measured by a method, set aside or not."""
    alike = pd.Series(True, index=table.index)
    for name, value in method.levels:
        alike &= table[name] == value
    return table[alike]
