"""The places of pages by one method: the same blocks of a template, over the tests of that method alone."""

from __future__ import annotations

import re
from typing import Any

from builder.findings.dataset import Dataset
from builder.site import face_pages, hack_pages, mask_pages
from builder.site.published import Renderer
from tests.conftest import unpacked

METHOD = "one-exercise.optical-counter.all-sizes"
NAME = "One exercise · Optical counter · All sizes"


def places(html: str) -> dict[str, str]:
    """Cut the places that can be narrowed out of a page, by their names: each up to where its element ends."""
    found = {}
    for start in re.finditer(r'<(\w+)[^>]* data-narrowed="(\w+)">', html):
        tag, name = start[1], start[2]
        depth = 1
        for edge in re.finditer(rf"<(/?){tag}\b", html[start.end() :]):
            depth += -1 if edge[1] else 1
            if not depth:
                found[name] = html[start.end() : start.end() + edge.start()].strip()
                break
    return found


def files(made: Any) -> dict[str, Any]:
    return {file.path: unpacked(file) for file in made}


def test_over_the_same_tests_a_place_says_what_the_page_says(demo: Dataset) -> None:
    mask = "skevuthar"
    render = Renderer(demo)
    page = next(page for page in mask_pages.mask_pages(demo, render) if page.address == f"masks/{mask}/")
    values = mask_pages.narrowed_values(demo, demo.entries.masks[mask])
    assert render.places("mask.html", depth=2, **values) == places(page.html)


def test_a_mask_has_a_file_for_each_of_its_methods_where_it_has_several(demo: Dataset) -> None:
    made = files(mask_pages.narrowed_mask_files(demo, Renderer(demo)))
    expected = {
        f"masks/{mask}/methods/{used.id}{ending}"
        for mask, methods in demo.methods_by_mask.items()
        for used in methods.each
        for ending in (".packed", "-donnings.packed")
        if methods.mixed
    }
    assert made.keys() == expected
    own = made[f"masks/skevuthar/methods/{METHOD}.packed"]
    rows = demo.by_method[METHOD].summary_by_mask["skevuthar"]
    assert own["said"].startswith(f"Only what was measured by {NAME}: ")
    assert own["places"].keys() == {"lead", "donnings", "figures", "changes", "further"}
    assert own["places"]["figures"].count("<tr id=") == len(rows)
    assert f'data-source="methods/{METHOD}-donnings.packed"' in own["places"]["donnings"]
    dots = made[f"masks/skevuthar/methods/{METHOD}-donnings.packed"]["dots"]
    assert len(dots["fit_factor"]) == sum(row["tests"] for row in rows)


def test_a_page_has_the_places_that_its_files_fill(demo: Dataset) -> None:
    render = Renderer(demo)
    pages = [*mask_pages.mask_pages(demo, render), *hack_pages.hack_pages(demo, render)]
    html = {page.address: page.html for page in [*pages, *face_pages.face_pages(demo, render)]}
    made = [
        *mask_pages.narrowed_mask_files(demo, render),
        *hack_pages.narrowed_hack_files(demo, render),
        *face_pages.narrowed_face_files(demo, render),
    ]
    compared = 0
    for path, content in files(made).items():
        if path.endswith(("-donnings.packed", "-effects.packed")):
            continue
        address, method = path.removesuffix(".packed").split("methods/")
        assert places(html[address]).keys() == content["places"].keys(), path
        assert f'<option value="{method}">' in html[address], path
        compared += 1
    assert compared == 100


def test_lists_charts_and_tables_say_that_they_mix_methods(demo: Dataset) -> None:
    page = next(page for page in mask_pages.mask_pages(demo, Renderer(demo)) if page.address == "masks/skevuthar/")
    found = places(page.html)
    for name in ("donnings", "figures"):
        assert "5 methods of measuring are mixed here." in re.sub(r"\s+", " ", found[name])
    narrowed = files(mask_pages.narrowed_mask_files(demo, Renderer(demo)))
    assert not any("are mixed here" in str(content) for content in narrowed.values())
