"""Search that forgives: in the explorer, in the head of every page, on the first page and where to compare."""

from __future__ import annotations

import json
import re

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from builder.findings.dataset import Dataset
from tests.browser.conftest import Watch, axe
from tests.browser.test_explorer import COUNT, explore, shown

FIND = """async ([texts, query]) => {
    const { Index } = await import("/assets/scripts/common/search.js");
    const { scores, mended } = new Index(texts).find(query);
    return [[...scores.keys()].sort(), mended];
}"""
NEAR = """async ([names, query]) => {
    const { nearNames } = await import("/assets/scripts/common/search.js");
    return nearNames(query, names).map((place) => names[place]);
}"""
TEXTS = ["Ear loops\nNose wire", "Headbands\nNose foam", "Ear-loop clip", "Crème de Papier FFP2", "Batteries"]


FOUND: dict[str, list[int]] = {
    "": [0, 1, 2, 3, 4],
    "nose": [0, 1],
    "wire nose": [0],
    "nose-wires": [0],
    "nosewire": [0],
    "ear loop": [0, 2],
    "EARLOOPS clip": [2],
    "creme papier": [3],
    "ffp 2": [3],
    "battery": [4],
    "band": [1],
}
MISTYPED = {
    "headbnds": ([1], "headbands"),
    "haedband": ([1], "headbands"),
    "nsoe wrie": ([0], "nose"),
    "papeir": ([3], "papier"),
    "clipp": ([2], "clip"),
}


def test_words_are_found_in_any_order_number_and_hyphening(scripts: Page) -> None:
    for query, found in FOUND.items():
        assert scripts.evaluate(FIND, [TEXTS, query]) == [found, []], query


def test_a_mistyped_word_is_read_as_the_nearest_and_says_so(scripts: Page) -> None:
    for query, (found, read) in MISTYPED.items():
        places, mended = scripts.evaluate(FIND, [TEXTS, query])
        assert places == found, query
        assert mended[0] == {"typed": query.partition(" ")[0], "read": read}


def test_what_is_nowhere_is_not_found(scripts: Page) -> None:
    for query in ("xyz", "wax", "sponge", "no such thing", "42"):
        assert scripts.evaluate(FIND, [TEXTS, query])[0] == [], query


def test_names_like_a_query_come_nearest_first(scripts: Page) -> None:
    names = ["Glivedupim", "Zelmonul", "Glivotar", "Velanul"]
    assert scripts.evaluate(NEAR, [names, "Glyvedupin"])[0] == "Glivedupim"
    assert scripts.evaluate(NEAR, [names, "???"]) == []


def test_the_explorer_reads_a_mistyped_word_and_says_so(page: Page, demo: Dataset) -> None:
    explore(page, "?q=glivedupmi")
    assert {one.partition("+")[0] for one in shown(page)} == {"glivedupim"}
    expect(page.locator(COUNT)).to_contain_text("“glivedupmi” stands nowhere, so it was read as glivedupim.")


def test_the_explorer_finds_slots_and_styles(page: Page, demo: Dataset) -> None:
    wires = {token for token, record in demo.entries.parts.items() if record.part.slot == "nose-wire"}
    explore(page, "?q=nose-wires")
    found = set(shown(page))
    assert {row for row in demo.summary["configuration"] if wires & set(row.split("+")[1:])} <= found
    explore(page, "?q=cups")
    cups = {name for name, record in demo.entries.masks.items() if record.mask.style == "cup"}
    assert {one.partition("+")[0] for one in shown(page)} == cups


def test_nothing_found_offers_near_names_and_what_to_do(page: Page) -> None:
    explore(page, "?q=glyvydupin")
    page.get_by_label("Search", exact=True).fill("glivxxxpim")
    expect(page.locator(COUNT)).to_contain_text("0 of ")
    empty = page.locator(".sb-explorer__empty")
    expect(empty.get_by_role("link", name="ask for it")).to_have_attribute("href", re.compile(r"/contribute/#ask$"))
    expect(empty.get_by_role("link", name="add it")).to_have_attribute("href", re.compile(r"/contribute/$"))
    assert axe(page) == []
    empty.get_by_role("button", name="Glivedupim").click()
    expect(page.get_by_label("Search", exact=True)).to_have_value("Glivedupim")
    expect(empty).to_be_hidden()
    assert shown(page)


HEAD = "Find a mask, a part or a page"


def typed(page: Page, text: str) -> list[str]:
    """What the search in the head of the page offers."""
    field = page.get_by_label(HEAD).first
    field.focus()
    field.press_sequentially(text)
    expect(page.locator("#sb-find-options li, .sb-find .sb-not-here").first).to_be_visible()
    return page.locator("#sb-find-options li > span:first-child").all_text_contents()


@pytest.mark.parametrize(
    ("text", "first", "address"),
    [
        ("zelmonul", "Zelmonul", "masks/zelmonul/"),
        ("broad strip", "Stiff aluminium strip", "hacks/broad-strip/"),
        ("face modell", "The face model", "methods/#the-face-model"),
        ("wearer scatter donnings", "Re-donning scatter", "methods/#re-donning-scatter"),
        ("pseudonym", "Pseudonyms, not names", "rules/#pseudonym"),
        ("oxygen", "What no particle filter does", "cautions/#what-no-particle-filter-does"),
    ],
)
def test_the_head_finds_masks_parts_pages_and_sections(page: Page, text: str, first: str, address: str) -> None:
    page.goto("data/")
    assert first in typed(page, text)[:4]
    page.locator("#sb-find-options").get_by_text(first, exact=True).first.click()
    page.wait_for_url(f"**/{address}")


def test_enter_goes_to_what_is_pointed_at_to_a_page_or_to_the_explorer(page: Page) -> None:
    page.goto("data/")
    assert typed(page, "zelmonul")[0] == "Zelmonul"
    page.keyboard.press("Enter")
    page.wait_for_url("**/explore/?q=zelmonul")
    page.goto("data/")
    typed(page, "zelmonul")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_url("**/masks/zelmonul/")
    page.goto("data/")
    assert typed(page, "how to cite")[0] == "How to cite"
    page.keyboard.press("Enter")
    page.wait_for_url("**/data/#cite")


@pytest.mark.parametrize("width", [1280, 390])
def test_the_head_says_what_to_do_where_nothing_is_called_so(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 844})
    page.goto("data/")
    typed(page, "qqqq")
    expect(page.locator(".sb-find").get_by_role("link", name="ask for it")).to_be_visible()
    assert axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="ask for it")).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url("**/contribute/#ask")


def test_the_first_page_offers_too(page: Page) -> None:
    page.goto("")
    field = page.locator("#ask")
    field.focus()
    field.press_sequentially("zelmonlu")
    option = page.locator("#ask-options").get_by_role("option", name="Zelmonul mask, duckbill")
    expect(option).to_be_visible()
    assert axe(page) == []
    option.click()
    page.wait_for_url("**/masks/zelmonul/")


def test_without_its_file_the_head_searches_the_explorer(context: BrowserContext, watch: Watch) -> None:
    context.route("**/search.json", lambda route: route.abort())
    page = context.new_page()
    page.goto("data/")
    page.get_by_label(HEAD).fill("wire")
    page.keyboard.press("Enter")
    page.wait_for_url("**/explore/?q=wire")
    page.goto("about:blank")  # so that no fault comes after these are cleared
    watch.faults.clear()


def test_where_to_compare_forgives_too(page: Page) -> None:
    page.goto("compare/")
    field = page.get_by_role("combobox", name="Add a configuration")
    field.press_sequentially("wires nose glivedupmi")
    expect(page.locator("#sb-compare-options li").first).to_contain_text("Glivedupim")
    field.fill("glivxxxpim")
    expect(page.locator("#sb-compare-options li").first).to_contain_text("Glivedupim")
    expect(page.locator(".sb-compare .sb-not-here")).to_be_visible()
    page.keyboard.press("Enter")  # what is only like it is not taken by itself
    expect(page.locator(".sb-compare__chosen li")).to_have_count(0)


def test_what_is_found_is_published_once(context: BrowserContext) -> None:
    found = json.loads(context.request.get("assets/search.json").text())
    assert len({len(column) for column in found.values()}) == 1
    assert len(set(found["address"])) == len(found["address"])
    assert set(found["kind"]) == {"mask", "part", "page"}
