"""A hand-written page and its translation say the same: a change in one without the other fails, by page and place."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from html.parser import HTMLParser

import pytest
from markdown import Markdown
from mkdocs.utils.meta import get_data
from mkdocs.utils.yaml import yaml_load

from builder.site.fragments import MARK
from tests.conftest import ROOT

PAGES = ROOT / "site_src" / "pages"
TRANSLATED = [
    (folder.name, page.name)
    for folder in sorted(path for path in PAGES.iterdir() if re.fullmatch("[a-z]{2}", path.name))
    for page in sorted(PAGES.glob("*.md"))
]
BLOCKS = ("h1", "h2", "h3", "h4", "p", "ul", "ol", "li", "table", "tr", "th", "td", "pre")
NUMBER = re.compile(r"[−±+]?\d+(?:\.\d+)*")
REMARK = re.compile(r"(?<=\s)# [^#\n]*$", re.MULTILINE)
"""What a line of code says behind its code: to be translated."""


class Shape(HTMLParser):
    """What a page is made of, whatever its language."""

    def __init__(self) -> None:
        super().__init__()
        self.headings: list[tuple[str, str]] = []
        self.blocks: list[tuple[str, str]] = []
        """Each block with the heading that it stands below."""
        self.links: Counter[str] = Counter()
        self.code: Counter[str] = Counter()
        self.cells: list[tuple[str, str]] = []
        """The text of each cell, with where it is."""
        self.texts: dict[str, str] = {}
        """What stands below each heading outside tables and code."""
        self._open: list[str] = []
        """The texts of the cell and the code that are being read."""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a heading, a block, a link."""
        named = dict(attrs)
        if tag in ("h1", "h2", "h3", "h4"):
            self.headings.append((tag, named.get("id") or ""))
        if tag in BLOCKS:
            self.blocks.append((tag, self._below()))
        if tag == "a":
            self.links[named.get("href") or ""] += 1
        if tag in ("code", "th", "td"):
            self._open.append("")

    def handle_endtag(self, tag: str) -> None:
        """Note what stood in code or in a cell."""
        if tag in ("code", "th", "td"):
            text = self._open.pop()
            if tag == "code":
                self.code[" ".join(REMARK.sub("#", text).split())] += 1
            else:
                self.cells.append((f"{self._below()}, row {self.blocks.count(('tr', self._below()))}", text))

    def handle_data(self, data: str) -> None:
        """Take in text."""
        if self._open:
            self._open[-1] += data
        else:
            self.texts[self._below()] = self.texts.get(self._below(), "") + data

    def _below(self) -> str:
        return self.headings[-1][1] if self.headings else ""


@cache
def shape(path: str) -> Shape:
    named = yaml_load((ROOT / "site_src" / "settings.yml").read_text("utf-8"))["markdown_extensions"]
    extensions = [next(iter(one)) if isinstance(one, dict) else one for one in named]
    found = Shape()
    found.feed(Markdown(extensions=extensions).convert(get_data((PAGES / path).read_text("utf-8"))[0]))
    found.close()
    return found


def english_numbers(text: str) -> list[str]:
    return NUMBER.findall(re.sub(r"(?<=\d),(?=\d{3}\b)", "", text))


def german_numbers(text: str) -> list[str]:
    return NUMBER.findall(re.sub(r"(?<=\d),(?=\d)", ".", text.replace("\u202f", "")))


@pytest.mark.parametrize(("language", "page"), TRANSLATED)
def test_headings_and_their_addresses_are_the_same(language: str, page: str) -> None:
    assert shape(f"{language}/{page}").headings == shape(page).headings


@pytest.mark.parametrize(("language", "page"), TRANSLATED)
def test_paragraphs_lists_and_tables_are_the_same(language: str, page: str) -> None:
    assert shape(f"{language}/{page}").blocks == shape(page).blocks


@pytest.mark.parametrize(("language", "page"), TRANSLATED)
def test_tables_hold_the_same_numbers(language: str, page: str) -> None:
    here, there = shape(f"{language}/{page}"), shape(page)
    assert [(place, german_numbers(text)) for place, text in here.cells] == [
        (place, english_numbers(text)) for place, text in there.cells
    ]


@pytest.mark.parametrize(("language", "page"), TRANSLATED)
def test_sections_hold_the_same_numbers(language: str, page: str) -> None:
    here, there = shape(f"{language}/{page}"), shape(page)
    assert {place: sorted(german_numbers(text)) for place, text in here.texts.items()} == {
        place: sorted(english_numbers(text)) for place, text in there.texts.items()
    }


@pytest.mark.parametrize(("language", "page"), TRANSLATED)
def test_code_links_and_pieces_are_the_same(language: str, page: str) -> None:
    here, there = shape(f"{language}/{page}"), shape(page)
    assert here.code == there.code
    assert here.links == there.links
    pieces = [MARK.findall((PAGES / path).read_text("utf-8")) for path in (f"{language}/{page}", page)]
    assert pieces[0] == pieces[1]


@pytest.mark.parametrize("page", [page for language, page in TRANSLATED if language == "de"])
def test_german_writes_numbers_and_quotation_marks_its_own_way(page: str) -> None:
    here = shape(f"de/{page}")
    shown = [*here.texts.values(), *(text for _, text in here.cells)]
    assert [found for text in shown for found in re.findall(r"\b0\.\d+|[“\"][A-Za-zÄÖÜäöü]|\d\.\d %", text)] == []


def test_every_page_has_a_translation() -> None:
    assert [f"{language}/{page}" for language, page in TRANSLATED if not (PAGES / language / page).is_file()] == []
    assert TRANSLATED
