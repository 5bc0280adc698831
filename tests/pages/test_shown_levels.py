"""No interval without its level: beside it, at the head of its column, or once on a page that has a single one."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from click.testing import CliRunner

from builder.cli import main
from builder.findings.dataset import Dataset
from builder.site.kinds import published_pages
from builder.words.catalogue import language, say
from builder.words.chances import interval_text
from builder.words.numbers import between
from tests.conftest import ROOT

LEVEL = re.compile(r"\b(\d\d)\s%(?: interval|\)|: | ×|, )")
INTERVAL = re.compile(r"×[\d.\u202f]+ (?:to ×[\d.\u202f]+|or more|or less)|\d+–\d+\s%")
CELLS, BREAKS = {"td", "th"}, {"p", "li", "dd", "dt", "summary", "div", "table", "tr", "figure", "svg", "h2", "ul"}


class Told(HTMLParser):
    """The texts of a page, each with what names its level: itself and the head of its column, or of its picture."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[tuple[str, str]] = []
        self.heads: list[str] = []
        self.text = self.picture = ""
        self.column = self.pictures = 0
        self.in_head = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in BREAKS | CELLS or (self.pictures and tag == "text"):
            self.end()
        if tag == "svg":
            self.pictures += 1
            self.picture = self.picture if self.pictures > 1 else ""
        if tag == "desc":
            self.text = ""
        if tag == "table":
            self.heads = []
        if tag == "tr":
            self.column = self.pictures = 0
        self.in_head |= tag == "thead"

    def handle_endtag(self, tag: str) -> None:
        if tag == "desc":
            self.picture = self.text
        if tag in CELLS and self.in_head:
            self.heads.append(self.text)
            self.text = ""
        elif tag in CELLS:
            # A row that goes on with a wearer has a cell less: its cells count from the end.
            self.end(" ".join(self.heads[self.column :]))
            self.column += 1
        elif tag in BREAKS or tag in ("text", "title", "desc"):
            self.end(self.picture if self.pictures else "")
        self.in_head &= tag != "thead"
        self.pictures -= tag == "svg"

    def handle_data(self, data: str) -> None:
        self.text += data

    def end(self, head: str = "") -> None:
        text = " ".join(self.text.split())
        if text:
            self.texts.append((text, head))
        self.text = ""


def without_level(html: str) -> list[str]:
    told = Told()
    told.feed(html)
    study = say("harm.redonning")  # what a study found of several groups, no interval
    return [
        text
        for text, head in told.texts
        if INTERVAL.search(text.replace(study, "")) and not LEVEL.search(f"{text} {head}")
    ]


def test_every_interval_of_a_page_names_its_level(demo: Dataset) -> None:
    pages = {page.address: page.html for page in published_pages(demo, "", "")}
    found = {address: bare for address, html in pages.items() if (bare := without_level(html))}
    # The explorer's columns are narrow: its one level stands once above them.
    assert set(LEVEL.findall(pages["explore/"])) == {"95"}
    assert len(found.pop("explore/")) > 20
    assert found == {}


def test_an_interval_without_level_is_found() -> None:
    assert without_level("<p>About ×2 (×1 to ×3).</p><p>95 % interval ×1 to ×3</p>") == ["About ×2 (×1 to ×3)."]
    head = "<table><thead><tr><th>Part</th><th>{}</th></tr></thead><tr><th>Wire</th><td>×1 to ×3</td></tr></table>"
    assert without_level(head.format("90 % interval")) == []
    assert without_level(head.format("Interval")) == ["×1 to ×3"]
    assert INTERVAL.search(between(1, 2)) and INTERVAL.search(interval_text(0.2, 0.6))
    assert INTERVAL.search(between(1, None)) and INTERVAL.search(between(None, 1))


@pytest.mark.parametrize("arguments", [["hacks"], ["parts", "skevuthar"], ["suggest"], ["suggest", "--changed"]])
def test_every_interval_of_a_command_names_its_level(arguments: list[str]) -> None:
    result = CliRunner().invoke(main, [*arguments, "--entries", str(ROOT / "entries")])
    assert result.exit_code == 0
    seen = 0
    for paragraph in result.stdout.split("\n\n"):
        named = ""
        for line in paragraph.splitlines():
            named += f"{line} "
            if INTERVAL.search(line):
                seen += 1
                assert LEVEL.search(named), line
    assert seen > 3


def test_messages_that_hold_an_interval_name_its_level() -> None:
    """Whoever fills in an interval, in Python or in the browser, says at which level it is."""
    levels = {f"{level} %" for level in (90, 95, 99)}
    bare = {
        name
        for name, found in language().messages.items()
        if {"interval", "apart_interval", "likely", "clear"} & found.names
        and not any(level in text for level in levels for text in found.forms.values())
    }
    # Cells and labels of pictures, whose column or picture names it.
    assert bare == {"effect.ratio", "effect.ratio_at_least", "effect.ratio_at_most"}
