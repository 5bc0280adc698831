"""No headline speaks of statistics, on any page but those that explain them."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from builder.findings.dataset import Dataset
from builder.site.kinds import published_pages
from tests.conftest import ROOT

WORDS = re.compile(
    r"\b(medians?|(geometric|the|estimated) means?|averages?|intervals?|percentiles?|quantiles?|gsd|sd|deviation"
    r"|predict\w*|confidence|posterior\w*|prior|probabilit\w+|variance|logarithm\w*|regression|significan\w+"
    r"|likelihood|estimate[sd]?|distribution|p-value)\b",
    re.IGNORECASE,
)
EXPLAINING = ("methods.md", "words/", "rules/")
"""Where such words are what the page is about."""


def told(html: str) -> list[str]:
    """The headings of a page and the titles of its pictures."""
    found = [text for _, text in re.findall(r"<(h[1-3])\b[^>]*>(.*?)</\1>", html, re.DOTALL)]
    found += re.findall(r'<title id="[^"]*">(.*?)</title>', html, re.DOTALL)
    return [unescape(re.sub(r"<[^>]*>", "", text)).strip() for text in found]


def test_no_headline_of_a_generated_page_speaks_of_statistics(demo: Dataset) -> None:
    headlines = 0
    for page in published_pages(demo):
        if page.address.startswith(EXPLAINING):
            continue
        for text in (page.title, *told(page.html)):
            headlines += 1
            if text.startswith("Columns of "):  # what a file to download is called
                continue
            assert not WORDS.search(text), (page.address, text)
    assert headlines > 500


@pytest.mark.parametrize("source", sorted((ROOT / "site_src" / "pages").glob("*.md")), ids=lambda source: source.name)
def test_no_headline_of_a_written_page_does(source: Path) -> None:
    if source.name in EXPLAINING:
        return
    for line in source.read_text("utf-8").splitlines():
        if re.match(r"#{1,3} ", line):
            assert not WORDS.search(line), line


def test_the_words_that_are_looked_for_are_found() -> None:
    for headline in ("The median of all", "A 95 % interval", "GSD", "Predicted chances", "Estimated means"):
        assert WORDS.search(headline), headline
    for headline in ("What it means", "What each change was worth", "Every donning"):
        assert not WORDS.search(headline), headline
