"""The site in another language: chosen by address and by the browser, kept by a switch, with its own numbers."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import DESKTOP, Watch, axe

PAGES = ("", "explore/", "faces/", "compare/?c=dravurolup", "contribute/", "bench/", "masks/dravurolup/", "methods/")
READ_LOG = """async (text) => {
    const { readLog } = await import("/assets/scripts/logs/read-log.js");
    return readLog(new TextEncoder().encode(text), {});
}"""


@pytest.fixture
def german(browser: Browser, site_url: str, watch: Watch) -> Iterator[BrowserContext]:
    """A browser that prefers German, and has been nowhere yet."""
    context = browser.new_context(base_url=site_url, viewport=DESKTOP, locale="de-DE")
    watch.over(context)
    yield context
    context.close()


def test_who_prefers_german_is_led_to_it_once_and_the_switch_is_remembered(
    german: BrowserContext, site_url: str
) -> None:
    page = german.new_page()
    page.goto("explore/?style=cup#title")
    expect(page).to_have_url(f"{site_url}de/explore/?style=cup#title")
    expect(page.locator("html")).to_have_attribute("lang", "de")
    expect(page.get_by_label("Bauform")).to_have_value("cup")
    expect(page.locator("main")).to_contain_text(re.compile(r"\d,\d"))
    links = page.locator("link[rel=alternate][hreflang]").evaluate_all("all => all.map((one) => one.hreflang)")
    assert links == ["de", "en"]

    page.get_by_role("link", name="English").click()
    expect(page).to_have_url(f"{site_url}explore/?style=cup#title")
    expect(page.get_by_label("Style")).to_have_value("cup")
    # A new tab comes from elsewhere, too; what was chosen holds, and an address in German is German.
    other = german.new_page()
    other.goto("faces/")
    expect(other).to_have_url(f"{site_url}faces/")
    other.goto("de/faces/")
    expect(other.locator("h1")).to_have_text("Welche Masken passen auf ein Gesicht wie deins?")


def test_files_stand_once_and_every_address_leads_to_them(german: BrowserContext, site_url: str) -> None:
    page = german.new_page()
    page.goto("de/masks/dravurolup/")
    test = page.locator("#tests ~ details [id]").first
    anchor = test.get_attribute("id")
    page.locator("#tests ~ details summary").first.click()
    # The list with all that was noted takes the place of the one that came with the page.
    expect(page.locator("#tests ~ details dd").first).to_contain_text("Lecks:")
    page.locator(f"[id='{anchor}'] > a").click()
    expect(page).to_have_url(f"{site_url}masks/dravurolup/source/#{anchor}")
    page.get_by_role("link", name=f"Test of {anchor}.toml").click()
    expect(page).to_have_url(f"{site_url}de/masks/dravurolup/#{anchor}")
    # Who comes from elsewhere is not led away from what was asked for.
    for address in ("masks/dravurolup/source/", "de/masks/dravurolup/source/"):
        other = german.new_page()
        other.goto(f"{address}#{anchor}")
        expect(other).to_have_url(f"{site_url}masks/dravurolup/source/#{anchor}")
    # The switch leads to a page that says where they are, and stays there.
    other.get_by_role("link", name="Deutsch").click()
    expect(other).to_have_url(f"{site_url}de/masks/dravurolup/source/#{anchor}")
    expect(other.locator("main")).to_contain_text("Dateien werden nicht übersetzt")
    other.get_by_role("link", name=re.compile("^die Dateien von")).click()
    expect(other).to_have_url(f"{site_url}masks/dravurolup/source/#{anchor}")


def test_who_prefers_english_stays(page: Page, site_url: str) -> None:
    page.goto("explore/")
    expect(page).to_have_url(f"{site_url}explore/")
    expect(page.get_by_role("link", name="Deutsch")).to_have_attribute("href", "../de/explore/")


def test_german_pages_behave_and_clip_nothing(page: Page, site_url: str) -> None:
    page.goto("de/faces/")
    page.locator("#sb-face-length").fill("117,5")
    page.locator("#sb-face-width").fill("138,5")
    expect(page.locator(".sb-face__whose")).to_contain_text("117,5 × 138,5 mm")

    page.goto("de/compare/?c=brodipim&c=brodipim%2Bedge-tape")
    expect(page.locator(".sb-compare__result")).to_contain_text(re.compile(r"×\d+,\d"))
    assert page.locator("main svg [d*=',,'], main svg [x*=',']").count() == 0

    wrong = page.evaluate(
        READ_LOG, "seconds,phase,particles\n1,ambient\n3,mask,x\n4,mask,x\n5,mask,x\n7,mask,900\n8,mask,x\n"
    )
    assert [found["problem"] for found in wrong["problems"]] == [
        "Die Zeile hat 2 Werte, die Kopfzeile hat 3.",
        '"x" ist keine Zahl. Dasselbe gilt für die Zeilen 4 bis 5 und 7.',
    ]
    rows = "".join(
        f"{s},{'ambient' if s < 20 else 'mask'},{90 + s % 7}\n" for s in range(1, 60) if s not in (10, 11, 40)
    )
    doubts = {
        found["id"]: found["text"] for found in page.evaluate(READ_LOG, f"seconds,phase,particles\n{rows}")["doubts"]
    }
    assert doubts["gaps"] == (
        "In der Zeit: 2 Lücken (zuerst in Zeile 11), die längste 3 s, wo Zeilen 1 s auseinanderliegen. "
        "Die Zeile nach einer Lücke gilt für 1 s."
    )

    page.goto("de/bench/")
    page.get_by_role("button", name="Messabend beginnen").click()
    expect(page.get_by_role("heading", name="Messabend")).to_be_visible()

    page.goto("de/")
    page.locator("#ask").click()
    page.keyboard.type("brodipim")
    page.get_by_role("option").first.click()
    expect(page).to_have_url(f"{site_url}de/masks/brodipim/")

    for width in (390, 1280):
        page.set_viewport_size({"width": width, "height": 844})
        for address in PAGES:
            page.goto(f"de/{address}")
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (address, width)
            if width == DESKTOP["width"]:
                assert axe(page) == [], address
