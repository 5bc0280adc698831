"""Spaces and hyphens that no line may end at: between a number and its unit."""

from __future__ import annotations

import re

_UNITS = r"%|°C?|N·mm²?|mm|cm³?|µm|l/min|min|kB|MB|s|h"
_SPACE = re.compile(rf"(?<=[\d}}]) (?=(?:{_UNITS})(?!\w)|±|× \S+ mm)|(?<=±) (?=[\d{{])|(?<=[\d}}] ×) (?=\S+ mm)")
_HYPHEN = re.compile(r"(?<=[\d}])-(?=%)")
# What is no text, and texts that are copied into files.
_KEPT = re.compile(r"(<(pre|code|script|style|textarea)\b.*?</\2>|<[^>]*>)", re.DOTALL)

NARROW_SPACE = "\u202f"
HYPHEN = "\u2011"


def unbroken(text: str) -> str:
    """Keep each number, or placeholder of one, and its unit on one line: "95 %", "{length} mm", "95-%-Intervall"."""
    return _HYPHEN.sub(HYPHEN, _SPACE.sub(NARROW_SPACE, text))


def unbroken_html(html: str) -> str:
    """Do so in the text of HTML, but not in tags, in code and in what a reader fills in."""
    pieces = _KEPT.split(html)
    # Two groups: a text, then what is kept and the name of its element.
    return "".join(piece if place % 3 == 1 else unbroken(piece) for place, piece in enumerate(pieces) if place % 3 < 2)
