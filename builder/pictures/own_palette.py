"""A database's own colours in place of the palette's, as long as they can be read.

Contrast: Web Content Accessibility Guidelines 2.2, success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (what shows where
the keyboard is, 3 to 1), with their relative luminance.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping

from builder.pictures.palette import Ink, colours_of, recoloured
from builder.pictures.png import forget_pngs
from builder.pictures.svg import forget_svgs

_COLOUR = re.compile("#[0-9a-fA-F]{6}")
_GROUNDS = (Ink.PAPER, Ink.RAISED, Ink.SUNK, Ink.NOTICE)
_WRITTEN = (Ink.INK, Ink.MUTED, Ink.BRAND, Ink.ACCENT, Ink.PASS, Ink.SOLD, Ink.CHANGED)
_LEAST: Mapping[tuple[Ink, Ink], float] = {
    **{(ink, ground): 4.5 for ink in _WRITTEN for ground in _GROUNDS},
    (Ink.ON_BRAND, Ink.BRAND): 4.5,
    (Ink.FOCUS, Ink.PAPER): 3.0,
}
"""What is read or seen upon what, with the contrast that this needs at least."""


def recolour(own: Mapping[str, object]) -> list[str]:
    """Have a database's colours in place of the palette's: light and dark by what they are for.

    Gives what is wrong with them, in plain sentences; the palette is then as it was shipped.
    """
    _use({})
    known, example = {str(ink): ink for ink in Ink}, json.dumps(colours_of(Ink.BRAND))
    wrong = [
        f"{name!r} is no colour of the palette. Write one of: {', '.join(known)}." for name in own if name not in known
    ]
    given: dict[Ink, tuple[str, str]] = {}
    for name, colours in own.items():
        match colours:
            case [str(light), str(dark)] if _COLOUR.fullmatch(light) and _COLOUR.fullmatch(dark):
                if name in known:
                    given[known[name]] = (light, dark)
            case _:
                wrong.append(f"{name}: write two colours, on light and on dark, as in {example}.")
    if not wrong:
        _use(given)
        wrong = list(_unreadable())
    if wrong:
        _use({})
    return wrong


def contrast(one: str, other: str) -> float:
    """Give the contrast of two colours "#rrggbb", 1 to 21."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _use(own: Mapping[Ink, tuple[str, str]]) -> None:
    if recoloured(own):
        forget_pngs()
        forget_svgs()


def _unreadable() -> Iterator[str]:
    for (ink, ground), least in _LEAST.items():
        for mode, front, back in zip(("light", "dark"), colours_of(ink), colours_of(ground), strict=True):
            if (found := contrast(front, back)) < least:
                yield (
                    f"{ink} {front} on {ground} {back} ({mode}) cannot be read well: contrast {found:.1f} to 1. "
                    f"Take colours further apart, {least:g} to 1 at least."
                )


def _luminance(colour: str) -> float:
    channels = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
