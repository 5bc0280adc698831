"""The files of each mask stand once, in the site's first language; its pages in all languages lead to them."""

from __future__ import annotations

import re

from builder.findings.dataset import Dataset
from builder.site.mask_pages import mask_pages
from builder.site.published import Renderer
from builder.site.source_pages import source_pages
from builder.words.catalogue import speaking


def test_files_stand_in_the_first_language_and_pages_in_others_lead_there(demo: Dataset) -> None:
    first = {page.address: page for page in source_pages(demo, Renderer(demo))}
    with speaking("de"):
        other = {page.address: page for page in source_pages(demo, Renderer(demo, folder="de/"))}
        masks = {page.address: page for page in mask_pages(demo, Renderer(demo, folder="de/"))}
    assert list(first) == list(other) == [f"masks/{mask}/source/" for mask in sorted(demo.entries.masks)]
    assert all(page.told_once for page in (*first.values(), *other.values()))
    for address, page in other.items():
        mask = address.split("/")[1]
        assert f'Sprachen: <a href="../../../../{address}">die Dateien von' in page.html
        assert "<pre>" not in page.html
        led = set(re.findall(rf'href="../../../{address}#([^"]+)"', masks[f"masks/{mask}/"].html))
        own = demo.table.loc[demo.table["mask"] == mask, "test"]
        assert led == {test.partition("/")[2] for test in own}
        assert all(f'<h2 id="{anchor}">' in first[address].html for anchor in led)
