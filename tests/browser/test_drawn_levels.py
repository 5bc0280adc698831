"""What the scripts draw names the level of each interval too, as the pages that the builder writes do."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from builder.findings.dataset import Dataset
from builder.site.addresses import compare_address
from tests.pages.test_shown_levels import INTERVAL, without_level


def test_comparisons_name_their_levels(page: Page, demo: Dataset) -> None:
    mask, factorials = next(iter(demo.factorials.items()))
    page.goto(compare_address([mask, *factorials[0].configurations[1:4]]))
    result = page.locator(".sb-compare__result")
    expect(result.locator("table").first).to_be_visible()
    for fold in result.locator("details").all():
        fold.evaluate("fold => { fold.open = true; }")
    drawn = result.inner_html()
    assert len(INTERVAL.findall(drawn)) > 5
    assert without_level(drawn) == []


@pytest.mark.parametrize("masks", ["", "&masks=all"])
def test_chances_name_their_level(page: Page, masks: str) -> None:
    page.goto(f"faces/?cell=4&bridge=high{masks}")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-high" if masks else "4-high-as-sold")
    drawn = page.locator(".sb-face").inner_html()
    assert len(INTERVAL.findall(drawn)) > 5
    assert without_level(drawn) == []
