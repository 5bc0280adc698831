"""Where the hand-written pages, scripts, styles and the theme lie: within the package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).parents[1]


def site_source() -> Path:
    """Give the folder that holds `pages`, `theme` and `settings.yml`."""
    packed = _PACKAGE / "site_src"
    return packed if packed.is_dir() else _PACKAGE.parent / "site_src"
