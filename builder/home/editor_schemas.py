"""The schemas that the first line of each entry leads an editor to, in a folder that has none of the builder's code.

They are those of the builder that is installed, so nobody has to bring them up to date and git has no copy of them.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from builder.records.schemas import FOLDER
from builder.records.writing_files import write_files

SCHEMAS = "builder/schemas"
"""Where the entries look for them, from the folder that holds `entries`."""
SETTINGS = "mkdocs.yml"


def schema_files() -> dict[str, bytes]:
    """Give the schemas by their path below a database's folder."""
    return {f"{SCHEMAS}/{path.name}": path.read_bytes() for path in sorted(FOLDER.glob("*.json"))}


def keep_current(entries: Path) -> None:
    """Write the schemas beside an own database's entries, where they are missing or another builder's.

    A folder without settings of a site is no database, one with the builder's code has them. What cannot be written
    is left: they are a help to editors alone.
    """
    home = entries.absolute().parent
    if not (home / SETTINGS).is_file() or (home / "builder" / "__init__.py").exists():
        return
    with suppress(OSError):
        stale = {
            path: content
            for path, content in schema_files().items()
            if not (home / path).is_file() or (home / path).read_bytes() != content
        }
        write_files(home, stale, {path: path for path in stale if os.path.lexists(home / path)})
