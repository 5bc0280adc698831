"""Whatever an entry says is shown in a pull request, and does nothing there."""

from __future__ import annotations

import html
import re

import markdown
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from builder.review.escaping import LONGEST, code, plain

TABLE = ("table", "thead", "tbody", "tr", "th", "td")
HOSTILE = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "</details></table><h1>Approved</h1>",
    "<!-- hidden",
    "@someone and @some-team/people",
    "a | b | c",
    "`code` ``` fence",
    "[click](https://evil.example) ![picture](https://evil.example/x.png)",
    "<https://evil.example> https://evil.example www.evil.example mail@evil.example",
    "**bold** __bold__ ~~gone~~ *it* _it_",
    "line\n\n# Heading\n- [x] done\r\n> quote",
    "&lt;b&gt; &#64;someone",
    "\\<b\\> \\*x\\*",
    "fixes #1, closes GH-1",
    "$\\sqrt{x}$ [^1]",
    "\x1b[31mred\x1b[0m \u202eright to left",
]


def rendered(text: str) -> str:
    """Render a table with the text in a cell."""
    return markdown.markdown(f"| a | b |\n|---|---|\n| {plain(text)} | end |\n", extensions=["tables", "fenced_code"])


@pytest.mark.parametrize("text", HOSTILE)
def test_nothing_but_the_table_is_markup(text: str) -> None:
    page = rendered(text)
    assert set(re.findall(r"<(/?\w+)", page)) == {f"{end}{t}" for t in TABLE for end in ("", "/")}
    assert page.count("<td") == 2
    shown = html.unescape(re.findall(r"<td>(.*?)</td>", page, re.DOTALL)[0]).replace("\u200b", "")
    visible = "".join(f"\\u{ord(c):04x}" if c in "\x1b\u202e" else c for c in text)
    assert shown.split() == visible.split()


@pytest.mark.parametrize(
    "text, linked",
    [
        ("@someone", r"@\w"),
        ("mail@evil.example", r"@\w"),
        ("https://evil.example", "://"),
        ("HTTPS://evil.example", "://"),
        ("www.evil.example", r"www\."),
        ("WWW.evil.example", r"(?i)www\."),
        ("#1", r"#\w"),
        ("GH-1", r"GH-\d"),
    ],
)
def test_nothing_becomes_a_link_once_references_are_resolved(text: str, linked: str) -> None:
    assert re.search(linked, text)
    assert not re.search(linked, html.unescape(plain(text)))


@given(st.text(max_size=400))
@example("\0")
@example("&#8203;")
def test_any_text_stays_on_its_line_and_says_what_it_said(text: str) -> None:
    shown = plain(text)
    assert not re.search(r"[<>|`*_\[\]\n\r\\]", shown)
    # Every reference is one that was written here.
    assert re.fullmatch(r"(?:[^&]|&#\d+;)*", shown)
    assert len(html.unescape(shown).replace("\u200b", "")) <= 6 * LONGEST + 1


def test_a_long_text_is_cut() -> None:
    assert plain("x" * 1000) == "x" * LONGEST + "…"


@pytest.mark.parametrize(
    "text", ["drum-cup/2026-09-12-blue-heron-1", "drum-cup+broad-strip", "removed[1].test", "2026-10-02"]
)
def test_ids_and_keys_are_code(text: str) -> None:
    assert code(text) == f"`{text}`"


@pytest.mark.parametrize("text", ["a`b", "@someone", "a|b", "x y", "<b>", "", "é", "a\nb"])
def test_what_is_no_id_is_text(text: str) -> None:
    assert code(text) == plain(text)
