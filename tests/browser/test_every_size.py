"""Every kind of page on a small phone, a phone and a desktop, light and dark: axe finds nothing, nothing is too wide.

Each page is loaded once and looked at in place. WCAG 2.2 asks for no scrolling sideways at 320 px (1.4.10 Reflow) and
for targets of 24 px, or as much room round smaller ones (2.5.8 Target Size), a rule that axe-core leaves off by itself.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from builder.findings.dataset import Dataset
from builder.site.kinds import example_pages
from tests.browser.conftest import AXE

LOOKS: tuple[tuple[int, str, dict[str, object]], ...] = (
    (1280, "light", {}),
    (390, "light", {"runOnly": ["target-size", "scrollable-region-focusable"]}),
    (320, "light", {"rules": {"color-contrast": {"enabled": False}}}),
    (320, "dark", {"runOnly": ["color-contrast"]}),
)
"""Width and colours, and what axe is told beside `TOLD`: all of it on a desktop and on the smallest phone, whose layout
is that of every phone; colours, which the layout does not change, once light and once dark."""
STILL = """{
    // Colours would fade from one scheme to the other.
    const still = new CSSStyleSheet();
    still.replaceSync("* { transition: none !important }");
    document.adoptedStyleSheets.push(still);
}"""
RUN = """async (told) => {
    const rules = { "target-size": { enabled: true }, ...told.rules };
    const asked = told.runOnly ? told : { ...told, rules };
    const { violations } = await axe.run({ resultTypes: ["violations"], preload: false, ...asked });
    return violations.map(({ id, nodes }) => `${id} (${nodes.length}): ${nodes[0].html.slice(0, 200)}`);
}"""


@pytest.mark.parametrize("part", range(2))
def test_axe_finds_nothing_at_any_size(page: Page, demo: Dataset, part: int) -> None:
    script = AXE.read_text("utf-8")
    found: dict[tuple[str, int, str], list[str]] = {}
    for address in [*example_pages(demo)][part::2]:
        page.set_viewport_size({"width": 1280, "height": 900})
        page.emulate_media(color_scheme="light")
        page.goto(address)
        page.evaluate("new Promise((idle) => requestIdleCallback(idle))")
        page.evaluate(STILL)
        # A script element would be refused by the page, which allows none but its own.
        page.evaluate(script)
        for width, colours, told in LOOKS:
            page.set_viewport_size({"width": width, "height": 844})
            page.emulate_media(color_scheme=colours)  # type: ignore[arg-type]
            found[address, width, colours] = page.evaluate(RUN, told)
            wide = page.evaluate("document.documentElement.scrollWidth")
            if wide > width:
                found[address, width, colours].append(f"{wide} px wide")
    assert {place: faults for place, faults in found.items() if faults} == {}
