"""How far a page's parts move under the reader's eyes, as the Layout Instability API of WICG counts it."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Browser, Page, expect

from builder.findings.dataset import Dataset
from builder.site.addresses import compare_address
from builder.site.kinds import PAGE_KINDS
from tests.browser.conftest import UNSTARTED, Watch

MOST = 0.05
"""Half of what web.dev calls good."""

OBSERVE = """
window.shifted = 0;
new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) if (!entry.hadRecentInput) window.shifted += entry.value;
}).observe({ type: "layout-shift", buffered: true });
"""
KEPT = {"length": "117", "width": "138", "cell": "", "bridge": "high", "own": ["brodipim=64", "zelmonul=passed"]}


def settled(page: Page) -> float:
    """What has shifted so far, once two frames have been drawn after the answer."""
    page.evaluate(
        "new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 100))))"
    )
    return float(page.evaluate("window.shifted"))


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("kept", [False, True])
def test_nothing_moves_while_it_loads_and_answers(
    browser: Browser, site_url: str, watch: Watch, width: int, kept: bool
) -> None:
    context = browser.new_context(base_url=site_url, viewport={"width": width, "height": 844})
    watch.over(context)
    context.add_init_script(OBSERVE)
    if kept:
        keep = f"localStorage.setItem('sealbook-face', {json.dumps(json.dumps(KEPT))})"
        context.add_init_script(f"if (location.protocol === 'http:') {keep}")
    page = context.new_page()
    page.goto("faces/")
    shown = page.locator(".sb-face")
    expect(shown).to_have_attribute("data-shown", "4-high-as-sold+2" if kept else "unknown-unknown-as-sold")
    assert settled(page) < MOST
    page.locator("[name=length]").fill("121")
    page.locator("[name=width]").fill("141,5")
    page.locator("[name=bridge]").select_option("low")
    expect(shown).to_have_attribute("data-shown", "7-low-as-sold+2" if kept else "7-low-as-sold")
    assert settled(page) < MOST
    context.close()


@pytest.mark.parametrize("width", [390, 1280])
def test_no_kind_of_page_moves_while_it_loads(
    browser: Browser, site_url: str, demo: Dataset, watch: Watch, width: int
) -> None:
    context = browser.new_context(base_url=site_url, viewport={"width": width, "height": 844})
    watch.over(context)
    context.add_init_script(OBSERVE)
    page = context.new_page()
    moved = {}
    for address in [*(one for kind in PAGE_KINDS for one in kind.examples(demo)), compared(demo)]:
        page.goto(address)
        expect(page.locator(UNSTARTED)).to_have_count(0)
        moved[address] = settled(page)
    assert {address: shift for address, shift in moved.items() if shift >= MOST} == {}
    context.close()


def compared(demo: Dataset) -> str:
    """The address of a comparison that has something to show."""
    mask, rungs = next((mask, rungs) for mask, rungs in sorted(demo.ladders.items()) if rungs)
    return compare_address([mask, rungs[0].configuration])
