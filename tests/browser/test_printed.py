"""On paper: a mask's page on two sheets of A4, a poster on one, without what is of use on a screen alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from builder.findings.dataset import Dataset
from tests.browser.conftest import axe


def sheets(page: Page) -> int:
    """How many sheets the page takes, by the size of paper that it asks for."""
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(prefer_css_page_size=True)))


def test_the_widest_mask_and_the_one_of_most_changes_take_two_sheets(page: Page, demo: Dataset) -> None:
    most_tests = str(demo.counted["mask"].value_counts().index[0])
    most_changes = str(demo.counted.groupby("mask")["configuration"].nunique().idxmax())
    for mask in sorted({most_tests, most_changes, "quemamibek"}):
        page.goto(f"masks/{mask}/")
        expect(page.locator(".sb-chart__more button").first).to_be_visible()
        assert sheets(page) <= 2, mask
    page.emulate_media(media="print")
    for hidden in (".sb-header", ".sb-narrow__form", "#tests", ".sb-chart__more", ".sb-footer"):
        expect(page.locator(hidden).first).to_be_hidden()
    for shown in ("#title", "#donnings", "#configurations", ".sb-caution", ".sb-narrow__said"):
        expect(page.locator(shown).first).to_be_visible()
    expect(page.locator(".sb-printed")).to_have_text(re.compile(r"/masks/skevuthar/$|/masks/\w+/$"))


def test_pictures_of_a_comparison_are_on_paper_though_nobody_scrolled_to_them(page: Page) -> None:
    page.goto("compare/?c=skevuthar&c=brodipim")
    drawn = page.locator(".sb-compare__figure")
    expect(drawn.locator("svg").first).to_be_attached()
    page.emulate_media(media="print")
    assert set(drawn.evaluate_all("all => all.map(one => getComputedStyle(one).contentVisibility)")) == {"visible"}


def test_a_poster_takes_one_sheet_for_anybody_and_for_every_cell(page: Page, built_site: Path) -> None:
    posters = sorted(
        file.parent.relative_to(built_site).as_posix() for file in (built_site / "poster").rglob("index.html")
    )
    assert len(posters) == 11
    for poster in posters:
        page.goto(f"{poster}/")
        assert sheets(page) == 1, poster
    # Names as long as they can be.
    page.evaluate(
        "document.querySelectorAll('.sb-poster__masks strong').forEach(one => one.textContent = 'Ab cde '.repeat(40))"
    )
    assert sheets(page) == 1
    page.emulate_media(media="print")
    expect(page.locator(".sb-poster__others")).to_be_hidden()


@pytest.mark.parametrize("width", [390, 1280])
def test_a_poster_reads_on_a_screen(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.goto("")
    page.get_by_role("link", name="A poster for your notice board").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("What to try first")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.get_by_role("link", name="cell 4").click()
    expect(page.locator(".sb-poster__people").first).to_contain_text("of 10 people like you")
    assert axe(page) == []
