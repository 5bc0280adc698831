"""What stands around the marks of a chart: a level axis with upright lines, and the words of each row.

Charts are drawn for a page that stretches them: as wide as a phone is in letters and dots, level places as shares.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from builder.pictures.lettering import width, wrapped
from builder.pictures.palette import Ink
from builder.pictures.scale import LogScale
from builder.pictures.shapes import Line, Shape, Text

WIDTH = 520
"""Width that charts are laid out for. Pages show them from 330 to 1,112 pixels wide."""
LEFT, RIGHT = 10, WIDTH - 10
AXIS = 44
"""Height of an axis with its heading."""
MINOR = "sb-chart__minor"
"""Class of what a narrow page leaves out."""
BESIDE, ABOVE, HEADING = "sb-chart__beside", "sb-chart__above", "sb-chart__heading"
"""Classes of words: of a row in one line, of a row above its figures, of what stands above rows. With room for it a
page sets all of them beside the marks, and those of a row on the line of its marks."""
_LETTERS, _SMALL = 13, 12
_LINE, _SMALL_LINE = 18, 16
_ROOM = 270
"""Pixels for a line of letters by the measure of a narrow font. Other fonts are a quarter wider when bold, and a phone
has 330."""
_MOST_LINES = 3
_FEW_ROWS = 4
"""More rows may be higher than a screen, which then shows no axis below them."""
_END = 0.04
"""Nearer to an end than this share of the width, a label ends there instead of having its middle on its line."""


@dataclass(frozen=True)
class Tick:
    """A labelled value of an axis; a narrow page has no room for a minor one."""

    value: float
    label: str
    minor: bool = False


def first_row(rows: int) -> float:
    """Give where the first of so many rows begins, and with it the lines of the axis."""
    return _LINE + 2 if rows > _FEW_ROWS else 0


def upright_axis(
    scale: LogScale, ticks: Sequence[Tick], mark: float, *, top: float, bottom: float, name: str
) -> list[Shape]:
    """Draw upright lines with their labels below them, the one at `mark` told apart.

    They begin at `first_row(…)`, which of a tall chart leaves room for the labels above them too.
    """
    shapes: list[Shape] = [
        Line((scale.x(tick.value), top), (scale.x(tick.value), bottom), Ink.LINE, 1, css=_css(tick))
        for tick in ticks
        if tick.value != mark
    ]
    shapes.append(Line((scale.x(mark), top), (scale.x(mark), bottom), Ink.PASS, 2, dash=3))
    for y in (bottom + 16, *([top - 6] if top >= _LINE else [])):
        for tick in ticks:
            label = level_label(scale.x(tick.value), y, tick.label, css=_css(tick))
            shapes.append(replace(label, ink=Ink.PASS, bold=True) if tick.value == mark else label)
    return [*shapes, Text(WIDTH / 2, bottom + 36, name, _SMALL, Ink.MUTED, "middle")]


def level_label(x: float, y: float, label: str, *, css: str = "") -> Text:
    """Label a place of a level axis: around it, but for what would leave the chart."""
    if x > (1 - _END) * WIDTH:
        return Text(WIDTH, y, label, _SMALL, anchor="end", css=css)
    if x < _END * WIDTH:
        return Text(0, y, label, _SMALL, css=css)
    return Text(x, y, label, _SMALL, anchor="middle", css=css)


def heading(label: str, top: float) -> tuple[list[Shape], float]:
    """Write what a row or a group of rows is called; where the words end."""
    lines = wrapped(label, _LETTERS, _ROOM, 4)
    shapes: list[Shape] = [
        Text(0, top + 14 + _LINE * n, line, _LETTERS, bold=True, halo=True, css=HEADING) for n, line in enumerate(lines)
    ]
    return shapes, top + _LINE * len(lines)


def below(figures: str, top: float) -> tuple[list[Shape], float]:
    """Write figures on a line of their own."""
    return [Text(0, top + 12, figures, _SMALL, Ink.MUTED, halo=True)], top + _SMALL_LINE


def lines_above(label: str, figures: str) -> int:
    """Count the lines that a label needs above its figures: none where one line has room for both."""
    if width(label, _SMALL) + width(figures, _SMALL) + _SMALL <= _ROOM:
        return 0
    return len(wrapped(label, _SMALL, _ROOM, _MOST_LINES))


def beside(label: str, figures: str, top: float, *, bold: bool = False, above: int = 0) -> tuple[list[Shape], float]:
    """Write a label and its figures at the other end of the line; below it where the line is too short for both.

    Where rows are to stand equally far apart, so many lines `above` its figures are a label's in any case.
    """
    room = max(above, lines_above(label, figures))
    if not room:
        left = Text(0, top + 12, label, _SMALL, bold=bold, halo=True, css=BESIDE)
        right = Text(WIDTH, top + 12, figures, _SMALL, Ink.MUTED, "end", halo=True, css=BESIDE)
        return [left, right], top + _SMALL_LINE
    lines = wrapped(label, _SMALL, _ROOM, _MOST_LINES)
    shapes: list[Shape] = [
        Text(0, top + 12 + _SMALL_LINE * n, line, _SMALL, bold=bold, halo=True, css=ABOVE)
        for n, line in enumerate(lines, room - len(lines))
    ]
    end = top + _SMALL_LINE * (room + 1)
    return [*shapes, Text(WIDTH, end - 4, figures, _SMALL, Ink.MUTED, "end", halo=True, css=BESIDE)], end


def _css(tick: Tick) -> str:
    return MINOR if tick.minor else ""
