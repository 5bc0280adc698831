"""Numbers and their units stay on one line of a page, and so do dates; what is copied into files keeps its spaces."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from builder.words.catalogue import say, speaking
from builder.words.numbers import percent, whole_percent
from builder.words.unbroken import HYPHEN, NARROW_SPACE, days, unbroken, unbroken_html

UNITS = r"%|mm|cm³|µm|°C|N·mm|l/min|kB|MB|min|s|h|±"
BREAKABLE = re.compile(rf"\d (?:{UNITS})(?!\w)|\d-%")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("95 % sure", "95_% sure"),
        ("{low}–{high} %", "{low}–{high}_%"),
        ("a 95-%-Intervall", "a 95=%-Intervall"),
        ("{length} × {width} mm", "{length}_×_{width}_mm"),
        ("90 × 12 × 6 mm", "90_×_12_×_6_mm"),
        ("{a} × {b} of 12 × 3 cells", "{a} × {b} of 12 × 3 cells"),
        ("0.919 ± 0.004", "0.919_±_0.004"),
        ("at 95 l/min, 28 N·mm² and 10 °C", "at 95_l/min, 28_N·mm² and 10_°C"),
        ("7 small, 3 masks, 2 minutes, {n} he", "7 small, 3 masks, 2 minutes, {n} he"),
    ],
)
def test_a_number_keeps_its_unit(text: str, said: str) -> None:
    assert unbroken(text) == said.replace("_", NARROW_SPACE).replace("=", HYPHEN)


def test_what_is_copied_into_files_keeps_its_spaces() -> None:
    html = '<p title="5 %">5 % <code>5 %</code> 6 %<br>7 mm</p><pre lang="toml">5 %\n5 %</pre><textarea>5 %</textarea>'
    assert unbroken_html("on 2026-11-26 <code>2026-11-26</code>").startswith(
        'on <span class="sb-date">2026-11-26</span> <'
    )
    assert unbroken_html(html) == html.replace(">5 % <", ">5\u202f% <").replace("6 %<br>7 mm", "6\u202f%<br>7\u202fmm")


def test_a_day_is_one_word_and_what_stands_around_it_is_escaped() -> None:
    assert days("a < b, 2026-11-26.") == 'a &lt; b, <span class="sb-date">2026-11-26</span>.'
    assert days("12026-11-26, 2026-11") == "12026-11-26, 2026-11"


def test_pages_have_what_terminals_do_not() -> None:
    assert (percent(2.5), whole_percent(0.63), say("chance.about", percent=80)) == ("2.5 %", "63 %", "about 80 %")
    with speaking("en"):
        assert (percent(2.5), whole_percent(0.63)) == ("2.5\u202f%", "63\u202f%")
        assert say("chance.about", percent=80) == "about 80\u202f%"


class _Shown(HTMLParser):
    """What a page says, but for code."""

    def __init__(self) -> None:
        super().__init__()
        self.unread = 0
        self.said: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.unread += tag in {"script", "style", "pre", "code", "textarea"}

    def handle_endtag(self, tag: str) -> None:
        self.unread -= tag in {"script", "style", "pre", "code", "textarea"}

    def handle_data(self, data: str) -> None:
        if not self.unread:
            self.said.append(data)


def test_no_page_has_a_space_where_a_line_must_not_end(built_site: Path) -> None:
    for folder in (built_site, built_site / "de"):
        sections = {page.parents[1]: page for page in sorted(folder.glob("*/*/index.html"))}
        for page in (folder / "index.html", *folder.glob("*/index.html"), *sections.values()):
            shown = _Shown()
            shown.feed(page.read_text("utf-8"))
            assert {found[0] for said in shown.said for found in BREAKABLE.finditer(said)} == set(), page
