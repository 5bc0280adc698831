"""Old addresses lead on: to the same place on the page of the new name, and to the same comparison."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from playwright.sync_api import Page, expect

from builder.findings.dataset import Dataset
from builder.records.kept_addresses import Renaming
from builder.site.moved_pages import moved_pages
from builder.site.published import Renderer

MASK = "brodipim"


def moved(demo: Dataset, built_site: Path) -> dict[str, str]:
    """The pages at the old addresses of a mask and its comparisons, each in the frame of a page as deep."""
    renamed = (Renaming(mask="old-cup", to=(MASK,), date=date(2026, 10, 2)),)
    data = replace(demo, entries=replace(demo.entries, renamed=renamed))
    pair = min(built_site.glob(f"compare/{MASK}/*/index.html"))
    frames = {2: built_site / "masks" / MASK / "index.html", 3: pair}
    found = {}
    for page in moved_pages(data, Renderer(data)):
        before, _, rest = frames[page.address.count("/")].read_text("utf-8").partition('<p class="sb-crumbs">')
        found[page.address] = before + page.html + rest[rest.index("</main>") :]
    return found


def test_an_old_address_leads_to_the_same_place(page: Page, demo: Dataset, built_site: Path) -> None:
    found = moved(demo, built_site)
    html = found["masks/old-cup/"]
    page.route("**/masks/old-cup/", lambda route: route.fulfill(body=html, content_type="text/html; charset=utf-8"))
    test = next(name for name in sorted(demo.table["test"]) if name.startswith(MASK))
    anchor = test.partition("/")[2]
    page.goto(f"masks/old-cup/#{anchor}")
    page.wait_for_url(f"**/masks/{MASK}/#{anchor}")
    expect(page.locator(f'[id="{anchor}"]')).to_be_visible()
    page.goto("masks/old-cup/#old-cup+broad-strip")
    page.wait_for_url(f"**/masks/{MASK}/#{MASK}+broad-strip")
    old, html = next(
        (address, html) for address, html in found.items() if address.startswith("compare/old-cup/old-cup--")
    )
    page.route(f"**/{old}", lambda route: route.fulfill(body=html, content_type="text/html; charset=utf-8"))
    page.goto(old)
    page.wait_for_url(f"**/{old.replace('old-cup', MASK)}")


def test_without_scripts_a_link_leads_there(demo: Dataset, built_site: Path) -> None:
    html = moved(demo, built_site)["masks/old-cup/"]
    assert f'<a href="../../masks/{MASK}/">' in html


def test_an_old_comparison_is_the_same_one(scripts: Page) -> None:
    found = scripts.evaluate(
        """async () => {
            const { chosenFrom } = await import("/assets/scripts/compare/choice.js");
            const known = new Set(["cup", "cup+strip"]);
            const renamed = { "old-cup": "cup", "old-strip": "strip" };
            return chosenFrom("?c=old-cup&c=old-cup%2Bold-strip&c=cap", known, renamed);
        }"""
    )
    assert found == {"chosen": ["cup", "cup+strip"], "unknown": ["cap"], "tooMany": []}
