"""A database that has just begun: each page invites to a first step, and shows no table or picture of nothing."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from posixpath import join, normpath

import pytest

from builder.findings.dataset import build_dataset
from builder.site.kinds import published_pages
from tests.conftest import ROOT

TEST = Path("tests", "brodipim", "2023-02-18-norvuli-1.toml")
LANGUAGES = ("en", "de")
WRITTEN = {"methods/", "cautions/", "contribute/"}
"""Pages that are written by hand."""
NOTHING = re.compile(r"\b0 (?:of|von|out of) 0\b|\bnan\b|<tbody[^>]*>\s*</tbody>")
HIDDEN = re.compile(r"<(section|template)\b[^>]* hidden>.*?</\1>", re.DOTALL)
LINK = re.compile(r'<a [^>]*href="([^"#?:]+/)?[#?"]')


def begun(folder: Path, tests: int) -> dict[str, str]:
    """Every page of a database of no test or of one, by its address."""
    if tests:
        for path in (
            Path("masks", "brodipim.toml"),
            Path("parts", "ear-loops.toml"),
            Path("parts", "plain-wire.toml"),
            TEST,
        ):
            (folder / path).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(ROOT / "entries" / path, folder / path)
    data = build_dataset(folder)
    assert len(data.table) == tests
    return {page.address: page.html for page in published_pages(data, languages=LANGUAGES)}


@pytest.mark.parametrize("tests", [0, 1])
def test_no_page_shows_nothing_and_every_link_leads_somewhere(tmp_path: Path, tests: int) -> None:
    pages = begun(tmp_path, tests)
    there = pages.keys() | WRITTEN | {f"de/{address}" for address in WRITTEN}
    for address, html in pages.items():
        assert NOTHING.findall(HIDDEN.sub("", html)) == [], address
        to = {normpath(join("/", address, target)).strip("/") for target in LINK.findall(html) if target}
        assert {f"{place}/".lstrip("/") for place in to} <= there, address


def test_the_first_step_is_offered(tmp_path: Path) -> None:
    pages = begun(tmp_path, 0)
    assert '<a href="contribute/">Add the first test</a>, or let the <a href="bench/">bench</a>' in pages[""]
    for address in ("explore/", "faces/", "hacks/", "compare/"):
        for folder in ("", "de/"):
            assert f'<a href="{"../" * address.count("/")}contribute/">' in pages[folder + address], address


def test_a_mask_that_nobody_changed_invites_to_a_change(tmp_path: Path) -> None:
    pages = begun(tmp_path, 1)
    assert "Nobody has tested a change to it yet" in pages["masks/brodipim/"]
    assert "Changes from the best one on" not in pages["masks/brodipim/"]
    assert "yardstick/" not in pages["masks/brodipim/"]
    assert "Explore all 1" not in pages[""]
