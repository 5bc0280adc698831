"""Where no line may end: between a number and its unit, and within a date."""

from __future__ import annotations

import re

from markupsafe import Markup, escape

_UNITS = r"%|°C?|N·mm²?|mm|cm³?|µm|l/min|min|kB|MB|s|h"
_SIZE = r"\S+(?: × \S+)* mm\b"
_SPACE = re.compile(rf"(?<=[\d}}]) (?=(?:{_UNITS})(?!\w)|±|× {_SIZE})|(?<=±) (?=[\d{{])|(?<=[\d}}] ×) (?={_SIZE})")
_HYPHEN = re.compile(r"(?<=[\d}])-(?=%)")
# What is no text, and texts that are copied into files.
_KEPT = re.compile(r"(<(pre|code|script|style|textarea)\b.*?</\2>|<[^>]*>)", re.DOTALL)

NARROW_SPACE = "\u202f"
HYPHEN = "\u2011"
_DAY = re.compile(r"\b\d{4}-\d\d-\d\d\b")
_ONE_LINE = r'<span class="sb-date">\g<0></span>'


def unbroken(text: str) -> str:
    """Keep each number, or placeholder of one, and its unit on one line: "95 %", "{length} mm", "95-%-Intervall"."""
    return _HYPHEN.sub(HYPHEN, _SPACE.sub(NARROW_SPACE, text))


def unbroken_html(html: str) -> str:
    """Do so in the text of HTML, and with each day: but not in tags, in code and in what a reader fills in."""
    pieces = _KEPT.split(html)
    # Two groups: a text, then what is kept and the name of its element.
    texts, kept = map(unbroken, pieces[::3]), [*pieces[1::3], ""]
    return "".join(_DAY.sub(_ONE_LINE, text) + tag for text, tag in zip(texts, kept, strict=True))


def days(text: object) -> Markup:
    """Write a text in HTML with each day on one line: browsers end lines at its hyphens, and others would be copied."""
    return Markup(_DAY.sub(_ONE_LINE, str(escape(text))))
