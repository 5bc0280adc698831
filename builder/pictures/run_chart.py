"""A run over time: its levels on a log scale, its phases shaded and named, the mean of each."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from builder.pictures.palette import Ink
from builder.pictures.shapes import Box, Dots, Drawing, Line, Point, Shape, Text

Kind = Literal["purge", "ambient", "mask"]

INKS: Mapping[Kind, Ink] = {"purge": Ink.LINE, "ambient": Ink.SOLD, "mask": Ink.CHANGED}
"""Of each kind's readings, the later ones above the earlier."""
SHADES: Mapping[Kind, Ink] = {"ambient": Ink.SUNK, "mask": Ink.SHADE_1}
_WIDTH, _HEIGHT = 960, 420
_LEFT, _RIGHT, _TOP, _BOTTOM = 64, _WIDTH - 12, 118, _HEIGHT - 48
_MOST_NAMED = 40
"""Phases that are named in the drawing; names of more would lie on top of each other."""
_LETTERS = 13
_DOT = 2
_STEPS = tuple(round(step * 10**power) for power in range(6) for step in (1, 2, 5, 10, 15, 30, 60))


@dataclass(frozen=True)
class Phase:
    """Some seconds of one kind; `level` is their mean, None for none."""

    kind: Kind
    begin: float
    end: float
    name: str
    level: float | None


@dataclass(frozen=True)
class _Scales:
    """From seconds and levels to places in the drawing. The lowest decade stands for 0 too."""

    seconds: float
    low: int
    high: int

    def x(self, seconds: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * seconds / self.seconds

    def y(self, level: float) -> float:
        share = 0.0 if level <= 0 else (math.log10(level) - self.low) / (self.high - self.low)
        return _BOTTOM - (_BOTTOM - _TOP) * min(max(share, 0.0), 1.0)


def run_chart(
    phases: Sequence[Phase], readings: Mapping[Kind, Sequence[Point]], unit: str, figure: Callable[[float], str]
) -> Drawing:
    """Draw readings, each its second and its level in `unit`, over their phases; `figure` prints a level."""
    levels = [level for of_kind in readings.values() for _, level in of_kind if level > 0]
    low = math.floor(math.log10(min(levels, default=1)))
    high = max(math.ceil(math.log10(max(levels, default=10))), low + 1)
    scales = _Scales(max((phase.end for phase in phases), default=1.0) or 1.0, low, high)
    named = [phase for phase in phases if phase.kind != "purge"] if len(phases) <= _MOST_NAMED else []
    shapes: list[Shape] = [
        Box(scales.x(phase.begin), _TOP, scales.x(phase.end), _BOTTOM, SHADES[phase.kind], edged=phase.kind == "mask")
        for phase in phases
        if phase.kind in SHADES
    ]
    shapes += [
        Text(scales.x((phase.begin + phase.end) / 2), _TOP - 6, phase.name, _LETTERS, turn=-45) for phase in named
    ]
    shapes += _axes(scales, unit, figure)
    for kind, ink in INKS.items():
        points = tuple((scales.x(second), scales.y(level)) for second, level in readings.get(kind, ()))
        if points:
            shapes.append(Dots(points, _DOT, ink))
    for phase in phases:
        if phase.level is not None:
            y = scales.y(phase.level)
            shapes.append(Line((scales.x(phase.begin), y), (scales.x(phase.end), y), Ink.INK, 1))
    names = "".join(f"{phase.name}, " for phase in named)
    return Drawing(
        _WIDTH,
        _HEIGHT,
        f"{unit[:1].upper()}{unit[1:]} over time",
        f"{names}on a logarithmic scale; the table below has the figures.",
        tuple(shapes),
    )


def _axes(scales: _Scales, unit: str, figure: Callable[[float], str]) -> list[Shape]:
    shapes: list[Shape] = []
    for power in range(scales.low, scales.high + 1):
        y = scales.y(10.0**power)
        shapes += [
            Line((_LEFT, y), (_RIGHT, y), Ink.LINE, 1),
            Text(_LEFT - 6, y + 4, figure(10.0**power), _LETTERS, anchor="end"),
        ]
    shapes += [
        Text(scales.x(second), _BOTTOM + 18, f"{second:g}", _LETTERS, anchor="middle")
        for second in _seconds(scales.seconds)
    ]
    return [
        *shapes,
        Text(_RIGHT, _BOTTOM + 38, "seconds", _LETTERS, anchor="end"),
        Text(0, _TOP - 12, unit, _LETTERS),
    ]


def _seconds(length: float) -> list[float]:
    step = next((step for step in sorted(_STEPS) if length / step <= 12), length)
    return [step * number for number in range(int(length / step) + 1)]
