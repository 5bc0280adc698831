"""The first page and the head of every page: one line each on a phone, a picture that answers, three ways in."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

from builder.findings.dataset import Dataset
from builder.findings.mask_wearers import FaceLength, masks_best_first
from builder.words.start_words import of_people
from tests.browser.conftest import Watch, axe

ROWS = ".sb-people__masks li"
COUNTS = f"{ROWS} .sb-people__of:visible"
PHONE = {"width": 390, "height": 844}


@pytest.mark.parametrize("width", [320, 390, 768, 1024, 1280])
def test_banner_and_header_are_a_line_each(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 844})
    page.goto("methods/")
    banner = page.locator(".md-banner").bounding_box()
    header = page.locator(".sb-header").bounding_box()
    assert banner is not None
    assert header is not None
    assert banner["height"] < 32
    assert header["height"] < 60
    expect(page.locator(".md-banner")).to_contain_text("Invented demo data: choose no mask by it.")
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("scripts", [True, False])
def test_a_narrow_screens_menu_opens_by_keyboard_and_closes(
    browser: Browser, site_url: str, watch: Watch, scripts: bool
) -> None:
    context = browser.new_context(base_url=site_url, viewport=PHONE, java_script_enabled=scripts)  # type: ignore[arg-type]
    watch.over(context)
    page = context.new_page()
    page.goto("methods/")
    explore = page.get_by_role("navigation", name="Main").get_by_role("link", name="Explore")
    expect(explore).to_be_hidden()
    page.get_by_role("button", name="Menu").focus()
    page.keyboard.press("Enter")
    expect(explore).to_be_visible()
    expect(page.get_by_role("link", name="Methods", exact=True)).to_have_attribute("aria-current", "page")
    expect(page.get_by_role("button", name="Switch to dark colours")).to_be_visible(visible=scripts)
    page.keyboard.press("Escape")
    expect(explore).to_be_hidden()
    expect(page.get_by_role("button", name="Menu")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(explore).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url("**/explore/")
    context.close()


def test_the_open_menu_lies_below_its_button_and_is_accessible(page: Page) -> None:
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    page.goto("methods/")
    page.get_by_role("button", name="Menu").click()
    menu, header = page.locator(".sb-menu").bounding_box(), page.locator(".sb-header").bounding_box()
    assert menu is not None
    assert header is not None
    assert abs(menu["y"] - header["y"] - header["height"]) < 8
    assert axe(page) == []


@pytest.mark.parametrize("size", [(390, 844), (1280, 900)])
def test_the_first_screen_holds_the_answer_the_search_and_three_ways(page: Page, size: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto("")
    for part in (".sb-lead", "#ask", ".sb-ways li:nth-child(3)", f"{ROWS} >> nth=5"):
        box = page.locator(part).first.bounding_box()
        assert box is not None, part
        assert box["y"] + box["height"] <= size[1], part


def test_everybody_who_tried_a_mask_is_a_mark(page: Page, demo: Dataset) -> None:
    page.goto("")
    ranked = masks_best_first(demo)
    expect(page.locator(ROWS)).to_have_count(len(ranked))
    # Each mark of a path begins with a move, but for the hole within a ring.
    marks = """all => all.map(row => [...row.querySelectorAll("path:not(.sb-people__hole)")]
        .reduce((n, path) => n + path.getAttribute("d").split("M").length - 1, 0))"""
    assert page.locator(ROWS).evaluate_all(marks) == [len(mask.wearers) for mask in ranked]
    assert page.locator(COUNTS).all_text_contents() == [of_people(mask) for mask in ranked]


@pytest.mark.parametrize("scripts", [True, False])
def test_a_length_of_face_dims_the_others_and_counts_its_own(
    browser: Browser, site_url: str, demo: Dataset, watch: Watch, scripts: bool
) -> None:
    context = browser.new_context(base_url=site_url, java_script_enabled=scripts)
    watch.over(context)
    page = context.new_page()
    page.goto("")
    page.get_by_role("radio", name="All").focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("radio", name="Shorter faces")).to_be_checked()
    expected = [of_people(mask, FaceLength.SHORTER) for mask in masks_best_first(demo)]
    assert page.locator(COUNTS).all_text_contents() == expected
    expect(page.locator(".sb-people--longer").first).to_have_css("opacity", "0.22")
    expect(page.locator(".sb-people--shorter").first).to_have_css("opacity", "1")
    page.get_by_text("Longer faces", exact=True).click()
    expected = [of_people(mask, FaceLength.LONGER) for mask in masks_best_first(demo)]
    assert page.locator(COUNTS).all_text_contents() == expected
    context.close()


def test_the_picture_leads_to_a_mask_to_explore_and_to_ones_own_face(page: Page, demo: Dataset) -> None:
    page.goto("")
    first = masks_best_first(demo)[0].row["mask"]
    row = page.locator(ROWS).first
    box = row.bounding_box()
    assert box is not None
    assert box["height"] >= 24
    page.mouse.click(box["x"] + box["width"] - 5, box["y"] + box["height"] / 2)
    page.wait_for_url(f"**/masks/{first}/")
    page.goto("")
    page.get_by_role("link", name="My face").click()
    page.wait_for_url("**/faces/")
    page.goto("")
    page.get_by_role("link", name="Explore all").first.click()
    page.wait_for_url("**/explore/")


@pytest.mark.parametrize(("scheme", "width"), [("light", 1280), ("dark", 320)])
def test_it_is_accessible(browser: Browser, site_url: str, watch: Watch, scheme: str, width: int) -> None:
    context = browser.new_context(
        base_url=site_url,
        color_scheme=scheme,  # type: ignore[arg-type]
        viewport={"width": width, "height": 844},
    )
    watch.over(context)
    page = context.new_page()
    page.goto("")
    assert axe(page) == []
    page.get_by_text("Shorter faces").click()
    assert axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()
