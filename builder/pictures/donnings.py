"""Every donning of a mask as a dot: a row a configuration, dots spread, the median as a bar.

What is one wearer's is a group by itself, its dots joined: pages light it and dim the others.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

import numpy as np

from builder.pictures.chart_frame import AXIS, LEFT, RIGHT, WIDTH, Tick, below, first_row, heading, upright_axis
from builder.pictures.palette import Ink
from builder.pictures.scale import LogScale
from builder.pictures.shapes import Box, Dots, Drawing, Group, Line, Lines, Mark, Point, Shape, Text
from builder.pictures.swarm import spread

DOT = 4
"""Radius of a dot."""
TRIANGLE: tuple[Point, ...] = ((-4, -5), (5, 0), (-4, 5))
"""A reading of "at least", pointing to where it may be."""
FIGURES, MEDIAN, CROWD, WEARERS = (f"sb-donnings__{name}" for name in ("figures", "median", "crowd", "wearers"))
"""Classes of what a page changes where it shows some wearers alone."""
UNJOINED = f"{WEARERS} {WEARERS}--unjoined"
"""Class of wearers whose lines show only where one of them is lit."""
_MOST_DOTS, _MOST_IN_ALL, _MOST_OF_MANY = 150, 200, 40
"""Dots that a row shows one by one; where the rows have more than so many together, a row has fewer."""
_MOST_THREADS = 120
_BINS = 60
_CROWDED_HALF, _LEAST_HALF = 30.0, 10.0
_GAP = 12


@dataclass(frozen=True)
class DonningDot:
    """One donning: its value, its wearer, and whether the value is a lower limit."""

    value: float
    wearer: str
    at_least: bool = False


@dataclass(frozen=True)
class DonningsRow:
    """One configuration: what it is called, what its figures say, its donnings, their median."""

    label: str
    figures: str
    donnings: tuple[DonningDot, ...]
    median: float
    sold: bool = False


@dataclass(frozen=True)
class Placed:
    """A row in its place: the top of its words, its middle, how far its dots reach from it, and each dot's height."""

    row: DonningsRow
    top: float
    middle: float
    half: float
    heights: tuple[float, ...]
    crowded: bool
    """Whether it has more donnings than can be told apart."""


@dataclass(frozen=True)
class DonningsChart:
    """Rows in their places, and what their picture leaves out."""

    rows: tuple[Placed, ...]
    scale: LogScale
    axis: tuple[Shape, ...]
    words: tuple[Shape, ...]
    height: int
    has_threads: bool
    """Whether dots of one wearer are joined; with too many wearers nobody could follow a line."""

    @property
    def crowded(self) -> bool:
        """Whether a row shows where its donnings are instead of each."""
        return any(placed.crowded for placed in self.rows)


def donnings_chart(
    rows: Sequence[DonningsRow], top: float, ticks: Sequence[Tick], mark: float, name: str
) -> DonningsChart:
    """Place rows one below the other on a log axis from 1 to `top`, the line at `mark` told apart."""
    scale = LogScale(1.0, top, LEFT, RIGHT)
    in_all = sum(len(row.donnings) for row in rows)
    most = _MOST_DOTS if in_all <= _MOST_IN_ALL else _MOST_OF_MANY
    words: list[Shape] = []
    placed = []
    y = start = first_row(len(rows))
    for row in rows:
        label, end = heading(row.label, y)
        figures, end = below(row.figures, end)
        crowded = len(row.donnings) > most
        wearers = [donning.wearer for donning in row.donnings]
        offsets = spread([scale.x(donning.value) for donning in row.donnings], wearers)
        low, high = min(offsets, default=0.0), max(offsets, default=0.0)
        reach = (high - low) / 2 + DOT + 2
        half = _CROWDED_HALF if crowded else max(reach, _LEAST_HALF)
        middle = end + half
        heights = tuple(middle + min(1, half / reach) * (offset - (low + high) / 2) for offset in offsets)
        placed.append(Placed(row, y, middle, half, heights, crowded))
        words += [*label, *(replace(line, css=FIGURES) for line in figures if isinstance(line, Text))]
        y = middle + half + _GAP
    axis = tuple(upright_axis(scale, ticks, mark, top=start, bottom=y, name=name))
    shown = [one for one in placed if not one.crowded]
    threads = sum(len({donning.wearer for donning in one.row.donnings}) for one in shown)
    return DonningsChart(tuple(placed), scale, axis, tuple(words), math.ceil(y + AXIS), threads <= _MOST_THREADS)


def donnings_picture(chart: DonningsChart, title: str, description: str, said: Mapping[str, str]) -> Drawing:
    """Draw a chart of donnings; `said` has the words that each wearer's dots are told with."""
    under: list[Shape] = []
    for placed in chart.rows:
        at = chart.scale.x(placed.row.median)
        ends = (at, placed.middle - placed.half), (at, placed.middle + placed.half)
        if placed.crowded:
            under.append(Group(tuple(_crowd(placed, chart.scale)), css=CROWD))
        under.append(Line(*ends, Ink.INK, 3, css=MEDIAN))
    wearers = Group(tuple(_wearers(chart, said)), css=WEARERS if chart.has_threads else UNJOINED)
    return Drawing(WIDTH, chart.height, title, description, (*chart.axis, *under, wearers, *chart.words))


@dataclass(frozen=True)
class _Drawn:
    """One donning in its place."""

    row: int
    x: float
    y: float
    at_least: bool
    ink: Ink


def _wearers(chart: DonningsChart, said: Mapping[str, str]) -> list[Shape]:
    """Draw each wearer's dots, by the wearers' names, above what joins them."""
    own: dict[str, list[_Drawn]] = {}
    for number, placed in enumerate(chart.rows):
        if placed.crowded:
            continue
        ink = Ink.SOLD if placed.row.sold else Ink.CHANGED
        for donning, height in zip(placed.row.donnings, placed.heights, strict=True):
            drawn = _Drawn(number, chart.scale.x(donning.value), height, donning.at_least, ink)
            own.setdefault(donning.wearer, []).append(drawn)
    return [
        Group((*_threads(dots), *_dots(dots)), title=said[wearer], data=("wearer", wearer))
        for wearer, dots in sorted(own.items())
    ]


def _dots(own: Sequence[_Drawn]) -> list[Shape]:
    shapes: list[Shape] = []
    for ink, alike in groupby(own, key=lambda dot: dot.ink):
        dots = list(alike)
        if exact := tuple((dot.x, dot.y) for dot in dots if not dot.at_least):
            shapes.append(Dots(exact, DOT, ink, edged=True))
        shapes += [Mark(dot.x, dot.y, TRIANGLE, ink, edged=True) for dot in dots if dot.at_least]
    return shapes


def _crowd(placed: Placed, scale: LogScale) -> list[Shape]:
    """Show where many donnings are: the higher, the more; a line over the middle half of them."""
    ink, pale = (Ink.SOLD, Ink.SOLD_RANGE) if placed.row.sold else (Ink.CHANGED, Ink.CHANGED_RANGE)
    xs = np.array([scale.x(donning.value) for donning in placed.row.donnings])
    counts, edges = np.histogram(xs, bins=_BINS, range=(LEFT, RIGHT))
    heights = placed.half * counts / counts.max()
    boxes = [
        Box(left, placed.middle - height, right, placed.middle + height, pale)
        for height, (left, right) in zip(heights.tolist(), pairwise(edges.tolist()), strict=True)
        if height
    ]
    low, high = np.quantile(xs, (0.25, 0.75)).tolist()
    return [*boxes, Line((low, placed.middle), (high, placed.middle), ink, 4)]


def _threads(own: Sequence[_Drawn]) -> list[Shape]:
    """Join a wearer's dots of a row from the lowest to the highest, and their means from row to row."""
    parts: list[tuple[Point, ...]] = []
    means: list[Point] = []
    for _, of_row in groupby(own, key=lambda dot: dot.row):
        points = tuple(sorted((dot.x, dot.y) for dot in of_row))
        if len(points) > 1:
            parts.append(points)
        xs, ys = zip(*points, strict=True)
        mean = sum(xs) / len(xs)
        means.append((mean, float(np.interp(mean, xs, ys))))
    if len(means) > 1:
        parts.append(tuple(means))
    return [Lines(tuple(parts), Ink.THREAD, 1)] if parts else []
