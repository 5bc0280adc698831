"""Every kind of page in a real browser: accessible, quiet, readable on a phone, in the dark and without scripts."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from builder.findings.dataset import Dataset
from builder.site.kinds import example_pages
from builder.words.numbers import fit
from tests.browser.conftest import DESKTOP, UNSTARTED, Watch


def test_each_page_says_where_it_is_lets_the_menu_be_skipped_and_is_fit_for_paper(page: Page, demo: Dataset) -> None:
    titles = set()
    for address in example_pages(demo):
        page.set_viewport_size(DESKTOP)
        page.goto(address)
        expect(page.locator("h1")).to_have_count(1)
        titles.add(page.title())
        if address != "404.html":
            _first_key_skips_the_menu(page, address)
        _paper_is_light_says_what_is_invented_and_cuts_no_table(page, address)
    assert len(titles) == len(list(example_pages(demo)))


def _first_key_skips_the_menu(page: Page, address: str) -> None:
    # Scripts may yet draw anew what would have the focus.
    expect(page.locator(UNSTARTED)).to_have_count(0)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent.trim()") == "Skip to content", address
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('main, footer') !== null"), address


def _paper_is_light_says_what_is_invented_and_cuts_no_table(page: Page, address: str) -> None:
    page.set_viewport_size({"width": 680, "height": 900})  # A4 between margins
    page.emulate_media(color_scheme="dark")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    assert page.locator(".md-banner").is_visible(), address
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)", address
    cut = "[...document.querySelectorAll('.sb-table')].filter(e => e.scrollWidth > e.clientWidth + 1).length"
    assert page.evaluate(cut) == 0, address
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="screen")
    assert page.evaluate("getComputedStyle(document.documentElement).colorScheme") == "light dark", address


def test_the_chosen_colours_stay_from_page_to_page(page: Page) -> None:
    page.emulate_media(color_scheme="light")
    page.goto("")
    page.get_by_role("button", name="Switch to dark colours").click()
    dark = page.evaluate("getComputedStyle(document.body).backgroundColor")
    page.goto("faces/")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == dark


@pytest.mark.parametrize("scripts", [True, False])
def test_a_link_to_a_test_opens_and_shows_it(
    browser: Browser, site_url: str, demo: Dataset, watch: Watch, scripts: bool
) -> None:
    row = demo.table.groupby("configuration").last().iloc[-1]
    mask, _, anchor = str(row["test"]).partition("/")
    context = browser.new_context(base_url=site_url, java_script_enabled=scripts)
    watch.over(context)
    page = context.new_page()
    page.goto(f"masks/{mask}/#{anchor}")
    test = page.locator(f"[id='{anchor}']")
    # With scripts the list with all that was noted takes the place of that of the figures.
    expect(page.locator(f"{'dd' if scripts else 'a'}[id='{anchor}']")).to_be_visible()
    link = page.locator(f"a[href$='source/#{anchor}']")
    expect(link).to_have_text(fit(row["fit_factor"], row["at_least"]))
    link.click()
    page.wait_for_url(f"**/masks/{mask}/source/#{anchor}")
    heading = page.locator(f"h2[id='{anchor}']")
    expect(heading).to_be_visible()
    assert f"{anchor}.toml" in (heading.text_content() or "")
    # What the files of a day share stands once, above the first of them.
    file = page.locator(f"section:has(h2[id='{anchor}']), h2[id='{anchor}'] + pre")
    assert f'wearer = "{row["wearer"]}"' in "".join(file.all_text_contents())
    if scripts:
        heading.get_by_role("link", name=f"Test of {anchor}.toml").click()
        page.wait_for_url(f"**/masks/{mask}/#{anchor}")
        expect(test).to_be_visible()
    context.close()


def test_a_link_to_a_list_of_words_opens_it(page: Page) -> None:
    page.goto("contribute/")
    lists = page.locator("#the-words-an-entry-may-use ~ details")
    expect(lists.locator("table").first).to_be_hidden()
    page.goto("contribute/#words-protocol")
    expect(page.locator("details[open] > summary > #words-protocol")).to_be_in_viewport()
    expect(page.get_by_role("cell", name="Eight exercises").first).to_be_visible()


def test_without_scripts_the_figures_are_there(browser: Browser, site_url: str, demo: Dataset, watch: Watch) -> None:
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    watch.over(context)
    page = context.new_page()
    for address in example_pages(demo):
        page.goto(address)
        assert page.locator("h1").is_visible(), address
    page.goto(next(a for a in example_pages(demo) if a.startswith("masks/")))
    assert page.locator("#configurations + .sb-table tbody tr").count() > 1
    context.close()


def test_the_main_things_are_reached_by_keyboard(page: Page) -> None:
    page.goto("")
    reached = []
    for _ in range(14):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.textContent.trim() || document.activeElement.id"))
    assert {"Explore", "Faces", "Hacks", "Contribute", "ask"} <= set(reached)
    page.locator("#ask").fill("wire")
    page.keyboard.press("Enter")
    page.wait_for_url("**/explore/?q=wire*")


def test_a_sentence_is_copied_or_selected(browser: Browser, site_url: str, demo: Dataset, watch: Watch) -> None:
    mask = str(demo.table["mask"].value_counts().index[0])
    for leave, answer in ((["clipboard-read", "clipboard-write"], "Copied."), ([], "Selected")):
        context = browser.new_context(base_url=site_url, permissions=leave)
        watch.over(context)
        page = context.new_page()
        if not leave:
            page.add_init_script("delete Navigator.prototype.clipboard")
        page.goto(f"masks/{mask}/share/")
        section = page.locator("section[id='as_sold']")
        section.get_by_role("button", name="Copy the sentence").click()
        page.get_by_role("status").filter(has_text=answer).wait_for()
        taken = "navigator.clipboard.readText()" if leave else "getSelection().toString()"
        assert page.evaluate(taken) == section.locator("bdi").text_content()
        context.close()


class _Metadata(HTMLParser):
    """What the head of a page says of it: the content of each `meta` by its property or name."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.said: dict[str, str] = {}
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        of = dict(attrs)
        name = of.get("property") or of.get("name")
        if tag == "meta" and name:
            assert name not in self.said, name
            self.said[name] = of.get("content") or ""


def test_every_page_names_a_picture_of_the_site_for_previews(built_site: Path) -> None:
    # Required and recommended properties: The Open Graph protocol, https://ogp.me.
    home = "http://127.0.0.1/"
    own = set()
    for path in sorted(built_site.rglob("*.html")):
        name = path.relative_to(built_site).as_posix()
        said = _Metadata(path.read_text("utf-8")).said
        assert said["og:type"] == "website", name
        assert said["og:title"], name
        assert said["og:description"] == said["og:image:alt"] == said["description"], name
        assert said["twitter:card"] == "summary_large_image", name
        assert name == "404.html" or said["og:url"] == home + name.removesuffix("index.html")
        picture = built_site / unquote(said["og:image"].removeprefix(home))
        with Image.open(picture) as image:
            size = (int(said["og:image:width"]), int(said["og:image:height"]))
            assert (image.get_format_mimetype(), image.size) == (said["og:image:type"], size), name
        own.add(said["og:image"])
    assert f"{home}preview.png" in own
    assert len(own) > 30


class _Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.targets: list[str] = []
        self.anchors: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name in {"href", "src"} and value:
                self.targets.append(value)
            if name == "id" and value:
                self.anchors.append(value)


def test_every_link_leads_somewhere(built_site: Path) -> None:
    pages = {}
    for path in sorted(built_site.rglob("*.html")):
        parser = _Links()
        parser.feed(path.read_text("utf-8"))
        pages[path.relative_to(built_site).as_posix()] = parser
    broken = []
    for name, parser in pages.items():
        assert len(parser.anchors) == len(set(parser.anchors)), f"{name}: an id stands twice"
        for target in parser.targets:
            parts = urlsplit(urljoin(f"http://site/{name}", target))
            if parts.netloc != "site":
                continue
            aim = unquote(parts.path).lstrip("/")
            aim = f"{aim}index.html" if aim == "" or aim.endswith("/") else aim
            there = (built_site / aim).is_file()
            anchor = unquote(parts.fragment)
            if not there or (anchor and aim in pages and anchor not in pages[aim].anchors):
                broken.append(f"{name}: {target}")
    assert broken == []
