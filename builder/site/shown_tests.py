"""What a mask's page and its chart show of each test, by mask: looked up once for all masks."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from operator import attrgetter
from typing import Any, NamedTuple

from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.findings.made_once import made_once
from builder.words.noted import OF_DAY, OF_DONNING, noted_of_day, noted_of_donning


class ShownTest(NamedTuple):
    """One test in the columns of the tidy table, and what was noted of its day: put into words where it is shown."""

    mask: str
    configuration: str
    parts: str
    wearer: str
    date: str
    test: str
    fit_factor: float
    at_least: bool
    protocol: str
    instrument: str
    counted: bool
    set_aside: str
    face_length_mm: float
    face_width_mm: float
    cell: str
    nose_bridge: str
    leaks: str
    comfort: float
    touches_eyes: str
    fogging: str
    contributor: str
    of_day: tuple[Any, ...]

    @property
    def day(self) -> Markup:
        """Say what was noted of the day."""
        return noted_of_day(dict(zip(OF_DAY, self.of_day, strict=True)))


class Remark(NamedTuple):
    """What was told of a test beside its figures."""

    notes: str
    link: str
    of_donning: tuple[Any, ...]

    @property
    def noted(self) -> Markup:
        """Say what was noted of the donning."""
        return noted_of_donning(dict(zip(OF_DONNING, self.of_donning, strict=True)))


@made_once
def shown_by_mask(data: Dataset) -> dict[str, list[ShownTest]]:
    """Give the tests of each mask that has some: by configuration, wearer and date, in the order they were made."""
    columns = [*_columns(data, ShownTest._fields[:-1]), zip(*_columns(data, OF_DAY), strict=True)]
    # The tenth test of a day comes after the ninth.
    tests = sorted(map(ShownTest._make, zip(*columns, strict=True)), key=lambda t: (*t[:5], len(t.test), t.test))
    return {mask: list(own) for mask, own in groupby(tests, key=attrgetter("mask"))}


@made_once
def remarks_by_test(data: Dataset) -> dict[str, Remark]:
    """Give by test what was told of it beside its figures."""
    told = zip(*_columns(data, ("notes", "link")), zip(*_columns(data, OF_DONNING), strict=True), strict=True)
    return dict(zip(data.table["test"], map(Remark._make, told), strict=True))


def _columns(data: Dataset, names: Iterable[str]) -> list[list[Any]]:
    return [data.table[name].tolist() for name in names]
