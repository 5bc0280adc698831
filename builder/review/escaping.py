"""Text from entries and from git, made harmless for a page written in Markdown: it is shown, and it does nothing.

Each character that Markdown or HTML gives a meaning inside a line becomes its reference, which has none (CommonMark,
section 2.5, "Entity and numeric character references": they cannot stand for structure). Hosts of code turn some texts
into links after that, when the references are resolved; an invisible space inside breaks those.
"""

from __future__ import annotations

import re

from builder.records.problems import printable

LONGEST = 300
_MEANT = re.compile(r"[&<>`*_\[\]!~|\\#@${}^]")
# Mentions, numbers of issues, and addresses, which GitHub Flavored Markdown links wherever they stand (section 6.9).
_LINKED = re.compile(r"@|#(?=\w)|:(?=//)|w(?=ww\.)|h(?=-\d)", re.IGNORECASE)
_ZERO_WIDTH_SPACE = "&#8203;"
# What ids, keys, paths and dates are made of; a file with any other name is shown as plain text.
_CODE = re.compile(r"[A-Za-z0-9/.][A-Za-z0-9/+._:\[\]-]*")


def plain(text: object) -> str:
    """Show any text in one line, cut where it is very long."""
    line = " ".join(printable(re.sub(r"\s+", " ", str(text))).split())
    if len(line) > LONGEST:
        line = f"{line[:LONGEST]}…"
    broken = _LINKED.sub(lambda found: f"{found[0]}\0", line)
    return _MEANT.sub(lambda found: f"&#{ord(found[0])};", broken).replace("\0", _ZERO_WIDTH_SPACE)


def code(text: str) -> str:
    """Show an id, a key, a path or a date as code; whatever else it turns out to be, as plain text."""
    return f"`{text}`" if _CODE.fullmatch(text) and len(text) <= LONGEST else plain(text)
