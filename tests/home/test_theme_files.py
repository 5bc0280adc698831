"""Of the MkDocs theme a site has what its pages load, and no more."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files

from builder.home.settings import complete
from builder.home.theme_files import leave_out_unloaded
from tests.conftest import ROOT

_ASSET = re.compile(r'(?:href|src)="(?:\.\./)*\.?/?(assets/[^"#?]+)"')


def theme_files(config: MkDocsConfig) -> Files:
    files = Files([])
    files.add_files_from_theme(config.theme.get_env(), config)
    return files


@pytest.fixture
def config() -> MkDocsConfig:
    found = load_config(str(ROOT / "mkdocs.yml"))
    complete(found)
    return found


def test_what_stays_is_what_pages_load(built_site: Path, config: MkDocsConfig) -> None:
    files = theme_files(config)
    brought = {file.src_uri for file in files}
    assert any(path.startswith("assets/javascripts/") for path in brought), "the theme has scripts to leave out"
    leave_out_unloaded(files, config)
    kept = {file.src_uri for file in files}
    pages = [page.read_text("utf-8") for page in built_site.rglob("*.html")]
    loaded = {path for page in pages for path in _ASSET.findall(page)}
    assert kept == brought & loaded
    assert {path for path in brought if (built_site / path).exists()} == kept
    assert all((built_site / path).is_file() for path in loaded)


def test_a_theme_of_ones_own_may_load_any_of_it(config: MkDocsConfig, tmp_path: Path) -> None:
    config.theme.dirs.insert(0, str(tmp_path))
    files = theme_files(config)
    before = len(files)
    leave_out_unloaded(files, config)
    assert len(files) == before
