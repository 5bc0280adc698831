"""Every colour, once, by what it is used for: light and dark. The style sheets and all pictures take them from here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum
from functools import cached_property
from typing import NamedTuple


class Ink(StrEnum):
    """What a colour is used for."""

    PAPER = "paper"
    RAISED = "raised"
    SUNK = "sunk"
    INK = "ink"
    MUTED = "muted"
    LINE = "line"
    RULE = "rule"
    """Lines to write on."""
    EDGE = "edge"
    """Around what can be filled in or pressed."""
    BRAND = "brand"
    ON_BRAND = "on-brand"
    ACCENT = "accent"
    PASS = "pass"
    """The line at fit factor 100, and the line of no difference."""
    SOLD = "sold"
    SOLD_RANGE = "sold-range"
    CHANGED = "changed"
    CHANGED_RANGE = "changed-range"
    THREAD = "thread"
    """Joins what belongs to one wearer."""
    FOCUS = "focus"
    NOTICE = "notice"
    """Behind what must be seen: that data are invented, and where a link led to."""
    SHADE_1 = "shade-1"
    SHADE_2 = "shade-2"
    SHADE_3 = "shade-3"
    SHADE_4 = "shade-4"

    @property
    def light(self) -> str:
        """The colour on paper and on light screens."""
        return colours_of(self)[0]

    @cached_property
    def variable(self) -> str:
        """The colour in a page, which turns it light or dark."""
        return f"var(--sb-{self})"


class _Colour(NamedTuple):
    light: str
    dark: str


_COLOURS = {
    Ink.PAPER: _Colour("#fbfaf6", "#11181b"),
    Ink.RAISED: _Colour("#ffffff", "#182125"),
    Ink.SUNK: _Colour("#f1efe7", "#1d282d"),
    Ink.INK: _Colour("#1c2b30", "#e3e9e8"),
    Ink.MUTED: _Colour("#54646a", "#a3b2b5"),
    Ink.LINE: _Colour("#d8d6cb", "#34444a"),
    Ink.RULE: _Colour("#9aa5a8", "#5c6c72"),
    Ink.EDGE: _Colour("#8b9599", "#6b7d83"),
    Ink.BRAND: _Colour("#0e5a63", "#7fd0d2"),
    Ink.ON_BRAND: _Colour("#ffffff", "#0d1a1d"),
    Ink.ACCENT: _Colour("#9a4516", "#f0a877"),
    Ink.PASS: _Colour("#9a4516", "#f0a877"),
    Ink.SOLD: _Colour("#5b6b78", "#a9b7c2"),
    Ink.SOLD_RANGE: _Colour("#a3abb1", "#656f77"),
    Ink.CHANGED: _Colour("#0b7285", "#5fd0dc"),
    Ink.CHANGED_RANGE: _Colour("#77afb8", "#3c7d85"),
    Ink.THREAD: _Colour("#bdb8a8", "#50656d"),
    Ink.FOCUS: _Colour("#b35c00", "#ffbf69"),
    Ink.NOTICE: _Colour("#fdf1d8", "#3a2f17"),
    Ink.SHADE_1: _Colour("#dcebe9", "#1f3a3d"),
    Ink.SHADE_2: _Colour("#b9dad7", "#27525580"),
    Ink.SHADE_3: _Colour("#92c5c2", "#2f6a6e"),
    Ink.SHADE_4: _Colour("#66aaa8", "#3a8287"),
}


_OWN: dict[Ink, _Colour] = {}
"""What a database has in place of these, for as long as its site is built: `recoloured` sets it."""


def colours_of(ink: Ink) -> tuple[str, str]:
    """Give an ink's colour on light and on dark."""
    return _OWN.get(ink, _COLOURS[ink])


def recoloured(own: Mapping[Ink, tuple[str, str]]) -> bool:
    """Have these colours, and no others, in place of the palette's. Says whether that changes any."""
    before = dict(_OWN)
    _OWN.clear()
    _OWN.update({ink: _Colour(*colours) for ink, colours in own.items()})
    return before != _OWN


def style_rule(inks: Iterable[Ink] = Ink) -> str:
    """Write inks as custom properties of a style sheet; each is light or dark as the page's `color-scheme` says."""
    lines = (f"  --sb-{ink}: light-dark({', '.join(colours_of(ink))});\n" for ink in inks)
    return f":root {{\n  color-scheme: light dark;\n{''.join(lines)}}}\n"
