"""Every kind of page on a small phone, a phone and a desktop, light and dark: axe finds nothing, nothing is too wide.

Each page is loaded once and looked at in place. WCAG 2.2 asks for no scrolling sideways at 320 px (1.4.10 Reflow) and
for targets of 24 px, or as much room round smaller ones (2.5.8 Target Size), a rule that axe-core leaves off by itself.
"""

from __future__ import annotations

from typing import Literal

import pytest
from playwright.sync_api import Page

from builder.findings.dataset import Dataset
from builder.site.kinds import example_pages
from tests.browser.conftest import COLOURS, Told, axe, in_colours

SHOWN_THERE: Told = {
    "runOnly": [
        "aria-hidden-focus",
        "button-name",
        "heading-order",
        "label",
        "link-name",
        "nested-interactive",
        "scrollable-region-focusable",
        "select-name",
        "summary-name",
        "target-size",
    ]
}
"""What a narrow page may have otherwise: sizes, what scrolls, and what is shown or hidden there alone."""
LOOKS: tuple[tuple[int, Literal["light", "dark"], Told | None], ...] = (
    (1280, "light", {"rules": {"target-size": {"enabled": True}}}),
    (390, "light", None),
    (320, "light", SHOWN_THERE),
    (320, "dark", COLOURS),
)
"""Width and colours, and what axe is told: all of it on a desktop; on the smallest phone, whose layout is that of every
phone, what its layout changes; colours, which it does not change, once light and once dark."""


@pytest.mark.parametrize("part", range(2))
def test_axe_finds_nothing_at_any_size(page: Page, demo: Dataset, part: int) -> None:
    found: dict[tuple[str, int, str], list[str]] = {}
    for address in [*example_pages(demo)][part::2]:
        page.set_viewport_size({"width": 1280, "height": 900})
        page.emulate_media(color_scheme="light")
        page.goto(address)
        page.evaluate("new Promise((idle) => requestIdleCallback(idle))")
        for width, colours, told in LOOKS:
            page.set_viewport_size({"width": width, "height": 844})
            in_colours(page, colours)
            found[address, width, colours] = axe(page, told) if told else []
            wide = page.evaluate("document.documentElement.scrollWidth")
            if wide > width:
                found[address, width, colours].append(f"{wide} px wide")
    assert {place: faults for place, faults in found.items() if faults} == {}
