"""What a database calls itself, for a verb that has no MkDocs to ask."""

from __future__ import annotations

import re
from pathlib import Path

import yaml

_LINE = re.compile(r"^site_name:[ \t]*(\S.*)$", re.MULTILINE)


def name_beside(entries: Path) -> str:
    """Read the name in the mkdocs.yml beside an entries folder; "" where there is none that is plain text."""
    try:
        text = (entries.absolute().parent / "mkdocs.yml").read_text("utf-8")
        found = _LINE.search(text)
        # Settings can name code to run; of these one line is read, as plain text.
        name = yaml.safe_load(found[1]) if found else ""
    except (OSError, ValueError, yaml.YAMLError):
        return ""
    return name if isinstance(name, str) else ""
