"""A few words within sentences about logs and tables, each once; the scripts of the site have them from here."""

from __future__ import annotations

from collections.abc import Mapping

PHRASES: Mapping[str, str] = {
    "same": "{problem} The same in {rows}.",
    "row_named": "row {row}",
    "rows_named": "rows {rows}",
    "rows_from_to": "{first} to {last}",
    "more_rows": "{more} more",
    "and": " and ",
    "and_of": "; of ",
    "only": "{name}, only {seconds} s",
    "from_row": "from row {row}",
    "percent": "{n}%",
    "point": "point",
    "comma": "comma",
}
"""By id; what stands in braces is filled in."""


def phrase(name: str, /, **values: object) -> str:
    """Say one of them. KeyError for an unknown id, or for a value that it names and is not given."""
    return PHRASES[name].format(**values)
