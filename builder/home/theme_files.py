"""Files of the MkDocs theme that no page loads are not published: our pages run none of its scripts."""

from __future__ import annotations

from fnmatch import fnmatch
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files

from builder.home.places import site_source
from builder.home.settings import THEME

LOADED = ("assets/stylesheets/main.*.min.css",)
"""What `main.html` and the templates it builds on load; a version of the theme has its own hash in the name."""


def leave_out_unloaded(files: Files, config: MkDocsConfig) -> None:
    """Take out what the theme brings and no page loads; all of it stays where a database has templates of its own."""
    ours = site_source() / THEME
    own, *below = (Path(folder) for folder in config.theme.dirs)
    if own.resolve() != ours.resolve():
        return
    brought = {str(folder) for folder in below}
    for file in list(files):
        if file.src_dir in brought and not any(fnmatch(file.src_uri, loaded) for loaded in LOADED):
            files.remove(file)
