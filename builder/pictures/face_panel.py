"""The face panel as a picture: length against width, a rectangle a cell, a number in each.

The style sheet paints it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder.pictures.palette import Ink
from builder.pictures.shapes import Anchor, Box, Drawing, Group, Link, Shape, Text

_LEFT, _TOP = 44, 6
_NARROWEST, _LONGEST = 119, 140
"""Where the picture begins, mm; it ends at widths of 160 and lengths of 97.5."""
_PER_MM = 10
_WIDTH, _HEIGHT = _LEFT + 410, _TOP + 425 + 38
_SHADES = (Ink.RAISED, Ink.SHADE_1, Ink.SHADE_2, Ink.SHADE_3, Ink.SHADE_4)


@dataclass(frozen=True)
class PanelCell:
    """A cell of the panel: its limits in mm, how many stand in it, its share of people, and where it leads ("" no)."""

    name: str
    length_low: float
    length_high: float
    width_low: float
    width_high: float
    count: int
    share: str
    here: bool = False
    """Whether this is the cell that the page is about."""
    address: str = ""
    label: str = ""
    """What names the link."""


def face_panel(cells: Sequence[PanelCell], lengths: str, widths: str) -> Drawing:
    """Draw the panel with a number in each cell, darker where it is higher, and the cell's share of people.

    `lengths` and `widths` name the axes.
    """
    most = max([cell.count for cell in cells] + [1])
    shapes = [shape for cell in cells for shape in _cell(cell, most)]
    return Drawing(_WIDTH, _HEIGHT, "", "", (*shapes, _axes(lengths, widths)))


def _cell(cell: PanelCell, most: int) -> list[Shape]:
    left, right = (_x(mm) for mm in (cell.width_low, cell.width_high))
    top, bottom = (_y(mm) for mm in (cell.length_high, cell.length_low))
    shade = 0 if cell.count == 0 else 1 + round(3 * cell.count / most)
    css = f"sb-panel__cell sb-panel__cell--{shade}" + (" sb-panel__cell--here" if cell.here else "")
    number = str(cell.count or "–")
    middle = ((left + right) / 2, (top + bottom) / 2 + 6)
    shapes: list[Shape] = [
        Box(left, top, right, bottom, _SHADES[shade], css=css, data=("cell", cell.name)),
        Text(left + 7, top + 17, cell.name, 12, css="sb-panel__name"),
        Text(right - 6, bottom - 7, cell.share, 10, anchor="end", css="sb-panel__share"),
        Text(*middle, number, 17, anchor="middle", bold=True, css="sb-panel__n"),
    ]
    if cell.address:
        # The link lies over the figures as a clear sheet, so that its name is the sentence alone.
        shapes.append(Link(cell.address, cell.label, left, top, right, bottom, "sb-panel__sheet"))
    return shapes


def _axes(lengths: str, widths: str) -> Group:
    middle = _TOP + (_HEIGHT - 44) / 2
    across = [_tick(_x(mm), _HEIGHT - 20, mm, "middle", "sb-panel__tick") for mm in (120, 130, 140, 150)]
    upwards = [
        _tick(_LEFT - 5, _y(mm) + 4, mm, "end", "sb-panel__tick sb-panel__tick--y") for mm in (100, 110, 120, 130)
    ]
    names = [
        Text(_LEFT + (_WIDTH - _LEFT) / 2, _HEIGHT - 4, widths, 11, Ink.MUTED, "middle", css="sb-panel__axis"),
        Text(10, middle, lengths, 11, Ink.MUTED, "middle", turn=-90, css="sb-panel__axis"),
    ]
    return Group((*across, *upwards, *names), hidden=True)


def _tick(x: float, y: float, mm: int, anchor: Anchor, css: str) -> Text:
    return Text(x, y, str(mm), 11, Ink.MUTED, anchor, css=css)


def _x(mm: float) -> float:
    return _LEFT + (mm - _NARROWEST) * _PER_MM


def _y(mm: float) -> float:
    return _TOP + (_LONGEST - mm) * _PER_MM
