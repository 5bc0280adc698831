"""What the search of the whole site reads: each thing once, texts without markup, words where a page explains."""

from __future__ import annotations

from typing import Any

from builder.findings.dataset import Dataset
from builder.site.search_index import FinishedPage, search_file
from tests.conftest import unpacked

EXPLAINING = """<h1 id="title">Methods</h1><p>How a figure is made.</p>
<h2 id="gsd">Scatter &amp; <em>GSD</em><a class="headerlink" href="#gsd">#</a></h2>
<p>The re-donning scatter, twice scatter.</p>
<h3 id="more">More</h3><svg><text>drawn</text></svg>"""


def found(data: Dataset, *pages: FinishedPage) -> list[dict[str, Any]]:
    columns = unpacked(search_file(data, pages))
    return [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]


def test_sections_of_a_page_that_explains_are_found_by_any_word(demo: Dataset) -> None:
    page, gsd, more = found(demo, FinishedPage("methods/", "Methods", EXPLAINING, True, True))
    assert page == {"address": "methods/", "name": "Methods", "within": "page", "kind": "page"} | {
        "words": "methods how figure made"
    }
    assert gsd["address"] == "methods/#gsd"
    assert gsd["name"] == "Scatter & GSD"
    assert gsd["within"] == "Methods"
    assert gsd["words"] == "the re-donning scatter twice"
    assert more["words"] == ""


def test_figures_of_a_generated_page_are_not_its_words(demo: Dataset) -> None:
    page, *sections = found(demo, FinishedPage("methods/", "Methods", EXPLAINING, True, False))
    assert {row["words"] for row in (page, *sections)} == {""}
    assert found(demo, FinishedPage("faces/cell-4/", "Cell 4", EXPLAINING, False, False)) == [
        {"address": "faces/cell-4/", "name": "Cell 4", "within": "page", "kind": "page", "words": ""}
    ]


def test_masks_and_parts_are_found_where_they_have_a_page(demo: Dataset) -> None:
    pages = [FinishedPage(address, "x", "", False, False) for address in ("masks/zelmonul/", "hacks/broad-strip/")]
    again = [FinishedPage(f"masks/zelmonul/{end}/", "x", "", False, False) for end in ("source", "share")]
    mask, part = found(demo, *pages, *again, FinishedPage("", "Start", "", False, False))
    assert (mask["name"], mask["within"], mask["kind"]) == ("Zelmonul", "mask, duckbill", "mask")
    assert demo.entries.masks["zelmonul"].mask.maker in mask["words"]
    assert (part["name"], part["within"], part["kind"]) == ("Stiff aluminium strip", "part, nose wire", "part")


def test_nothing_is_a_file_too(demo: Dataset) -> None:
    assert found(demo) == []
