"""What was taken out keeps its address, which leads to the reason."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from builder.findings.dataset import Dataset
from builder.records.kept_addresses import Removal
from builder.site.addresses import test_address as address_of
from builder.site.mask_pages import mask_pages
from builder.site.published import Renderer

HOSTILE = "<script>alert(1)</script>"


def pages(data: Dataset, *removed: Removal) -> dict[str, str]:
    """Render the pages of the first two masks, with what was taken out."""
    masks = dict(sorted(data.entries.masks.items())[:2])
    table, summary = (frame[frame["mask"].isin(list(masks))] for frame in (data.table, data.summary))
    changed = replace(data, entries=replace(data.entries, masks=masks, removed=removed), table=table, summary=summary)
    return {page.address: page.html for page in mask_pages(changed, Renderer(changed))}


def removal(test: str | None = None, mask: str | None = None, reason: str = "The hose was loose.") -> Removal:
    return Removal(test=test, mask=mask, date=date(2026, 10, 2), reason=reason)


def test_an_old_link_to_a_test_ends_at_its_reason(demo: Dataset) -> None:
    mask = sorted(demo.entries.masks)[0]
    test = f"{mask}/2026-09-12-blue-heron-1"
    found = pages(demo, removal(test))
    address, _, anchor = address_of(test).partition("#")
    row = re.findall(rf'<tr id="{anchor}".*?</tr>', found[address], re.DOTALL)
    assert len(row) == 1
    assert test in row[0]
    assert "2026-10-02" in row[0]
    assert "The hose was loose." in row[0]
    assert [name for name, html in found.items() if "taken-out" in html] == [address]


def test_tests_of_a_mask_without_others_have_a_page_too(demo: Dataset) -> None:
    mask = sorted(demo.entries.masks)[0]
    table = demo.table[demo.table["mask"] != mask]
    emptied = replace(demo, table=table, summary=demo.summary[demo.summary["mask"] != mask])
    html = pages(emptied, removal(f"{mask}/2026-09-12-blue-heron-1"))[f"masks/{mask}/"]
    assert 'id="2026-09-12-blue-heron-1"' in html
    assert "Nobody has tested it yet" in html


def test_a_mask_that_was_taken_out_keeps_a_page_with_its_tests(demo: Dataset) -> None:
    found = pages(
        demo, removal("box-fold/2026-09-12-red-kite-1"), removal(mask="box-fold"), removal("box-fold/2026-09-12-owl-1")
    )
    html = found["masks/box-fold/"]
    assert html.count("<h1 ") == 1
    assert re.findall(r'<tr id="([^"]+)"', html) == ["2026-09-12-owl-1", "2026-09-12-red-kite-1"]


@pytest.mark.parametrize("subject", [{"test": "{}/2026-09-12-owl-1"}, {"mask": "box-fold"}])
def test_a_reason_is_text(demo: Dataset, subject: dict[str, str]) -> None:
    mask = sorted(demo.entries.masks)[0]
    named = {kind: name.format(mask) for kind, name in subject.items()}
    html = pages(demo, removal(**named, reason=HOSTILE))[f"masks/{named.get('mask', mask)}/"]
    assert HOSTILE not in html
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html


def test_without_removals_nothing_is_said(demo: Dataset) -> None:
    assert not [name for name, html in pages(demo).items() if "taken-out" in html]
