"""Markup of a drawing: elements, escaped texts, short numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from builder.pictures.shapes import Point

_PLAIN = re.compile(r"[\w .%()#-]*", re.ASCII)


def tag(name: str, attributes: Mapping[str, str], *children: str) -> str:
    """Write an element. Its children are markup already."""
    written = "".join([f' {key}="{_quoted(value)}"' for key, value in attributes.items()])
    return f"<{name}{written}>{''.join(children)}</{name}>" if children else f"<{name}{written} />"


def _quoted(value: str) -> str:
    # Most are numbers and names.
    return value if _PLAIN.fullmatch(value) else escaped(value).replace('"', "&quot;")


def escaped(text: str) -> str:
    """Escape a text, without what XML 1.0 cannot hold, not even escaped."""
    kept = text if text.isprintable() else "".join(filter(_is_writable, text))
    return kept.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def number(value: float) -> str:
    """Write a number with a decimal, where it has one."""
    return short(f"{value:.1f}")


def short(digits: str) -> str:
    """Leave zeros out at the end of a decimal fraction."""
    return digits.rstrip("0").rstrip(".")


def coordinates(points: Iterable[Point]) -> str:
    """Write points."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def _is_writable(character: str) -> bool:
    return (
        character in "\t\n\r"
        or " " <= character <= "\ud7ff"
        or "\ue000" <= character <= "\ufffd"
        or character > "\uffff"
    )
