"""The settings of MkDocs that every database shares: its own mkdocs.yml says name and addresses, and may say more.

What a folder says goes before what is shared, key by key. Lists of style sheets and of Markdown extensions are added
to the shared ones, and so are keys of the theme; further pages of its own follow in the menu.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.utils.yaml import yaml_load

from builder.home.places import site_source

PAGES = "pages"
THEME = "theme"
_ADDED_TO = ("extra_css", "markdown_extensions")


def complete(config: MkDocsConfig) -> None:
    """Give a configuration the shared settings that its own file leaves open, and the theme."""
    shared, own = _read(site_source() / "settings.yml"), _read(Path(config.config_file_path))
    theme = {**shared["theme"], **(own.get("theme") or {}), "custom_dir": str(site_source() / THEME)}
    settings = {**shared, **{key: own[key] for key in shared if key in own}, "theme": theme}
    settings |= {key: [*shared[key], *own.get(key, ())] for key in _ADDED_TO}
    if "nav" not in own:
        settings["nav"] = [*shared["nav"], *_further_pages(Path(config.docs_dir), shared["nav"])]
    # Validated as a whole: settings turn into what MkDocs works with, such as patterns and levels of warnings.
    whole = MkDocsConfig(config_file_path=config.config_file_path)
    whole.load_dict({**settings, "site_name": config.site_name, "docs_dir": config.docs_dir, "plugins": []})
    if failed := whole.validate()[0]:
        raise ValueError("; ".join(f"mkdocs.yml: {key}: {error}" for key, error in failed))
    for key in (*settings, "mdx_configs"):
        config[key] = whole[key]
    if replaced := (own.get("theme") or {}).get("custom_dir"):
        config.theme.dirs.insert(0, str((Path(config.config_file_path).parent / replaced).resolve()))


def add_shipped_files(files: Files, config: MkDocsConfig) -> None:
    """Add the hand-written pages, scripts and styles that the folder has no own file in place of."""
    pages = site_source() / PAGES
    own = own_places(files, config)
    # MkDocs leaves out later what it is told to, and nothing may be made of that before: see exclude_docs.
    left_out = config.exclude_docs
    for path in sorted(pages.rglob("*")):
        place = path.relative_to(pages).as_posix()
        if path.is_file() and not (left_out and left_out.match_file(place)):
            file = File(place, str(pages), config.site_dir, config.use_directory_urls)
            if file.dest_uri not in own:
                put(files, file)


def own_places(files: Files, config: MkDocsConfig) -> set[str]:
    """Give the places in the site that files of the folder's own take."""
    return {file.dest_uri for file in files if file.src_dir == config.docs_dir}


def put(files: Files, file: File) -> None:
    """Add a file, in place of the theme's of the same name."""
    if there := files.get_file_from_path(file.src_uri):
        files.remove(there)
    files.append(file)


def _further_pages(docs: Path, menu: list[dict[str, str]]) -> list[str]:
    """Name the pages at the top of a folder that are in place of none of ours."""
    ours = {path.name for path in (site_source() / PAGES).glob("*.md")} | {
        name for entry in menu for name in entry.values()
    }
    return sorted(path.name for path in docs.glob("*.md") if path.name not in ours | {"README.md"})


def _read(path: Path) -> dict[str, Any]:
    with path.open("rb") as file:
        return yaml_load(file)
