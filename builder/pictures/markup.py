"""Markup of a drawing: elements, escaped texts, short numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from builder.pictures.shapes import Point

_PLAIN = re.compile(r"[\w .%()#-]*", re.ASCII)
_UNWRITABLE = re.compile("[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def tag(name: str, attributes: Mapping[str, str], *children: str) -> str:
    """Write an element. Its children are markup already."""
    # Most are numbers and names.
    if not _PLAIN.fullmatch("".join(attributes.values())):
        attributes = {key: escaped(value).replace('"', "&quot;") for key, value in attributes.items()}
    written = "".join([f' {key}="{value}"' for key, value in attributes.items()])
    return f"<{name}{written}>{''.join(children)}</{name}>" if children else f"<{name}{written} />"


def escaped(text: str) -> str:
    """Escape a text, without what XML 1.0 cannot hold, not even escaped."""
    return _UNWRITABLE.sub("", text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def number(value: float) -> str:
    """Write a number with a decimal, where it has one."""
    digits = f"{value:.1f}"
    return digits[:-2] if digits[-1] == "0" else digits


def short(digits: str) -> str:
    """Leave zeros out at the end of a decimal fraction."""
    return digits.rstrip("0").rstrip(".")


def coordinates(points: Iterable[Point]) -> str:
    """Write points."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)
