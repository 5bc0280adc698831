"""The pages of comparisons: what each says, shows, leads to, and what a link to it unfurls as."""

from __future__ import annotations

import io
import re
import shutil
from itertools import pairwise
from pathlib import Path

import pytest
from PIL import Image

from builder.findings.dataset import Dataset, build_dataset
from builder.fit.compare.two_configurations import Comparison
from builder.pictures.shapes import Text
from builder.site.addresses import compare_address, hack_address, mask_address, pair_address
from builder.site.hack_pages import hack_pages
from builder.site.mask_pages import mask_pages
from builder.site.pair_pages import PNG_WIDTH, pair_files, pair_pages
from builder.site.pair_preview import pair_preview
from builder.site.published import PublishedPage, Renderer
from builder.words.comparisons import ratio_label, set_up_phrase, verdict_sentence, verdict_words
from builder.words.labels import wearer_label
from tests.conftest import ROOT


@pytest.fixture(scope="module")
def pages(demo: Dataset) -> dict[str, PublishedPage]:
    return {page.address: page for page in pair_pages(demo, Renderer(demo))}


def pair(demo: Dataset, a: str, b: str) -> Comparison:
    return next(one for own in demo.likely_pairs.values() for one in own if (one.a, one.b) == (a, b))


def test_each_likely_pair_has_a_page_and_a_picture(demo: Dataset, pages: dict[str, PublishedPage]) -> None:
    addresses = {pair_address(one.a, one.b) for own in demo.likely_pairs.values() for one in own}
    assert pages.keys() == addresses
    files = {file.path: file.content for file in pair_files(demo)}
    assert files.keys() == {page.picture for page in pages.values()} == {f"{one}preview.png" for one in addresses}
    for content in files.values():
        assert isinstance(content, bytes)
        assert Image.open(io.BytesIO(content)).size == (PNG_WIDTH, 420)


def test_a_change_is_named_and_told_as_the_command_tells_it(demo: Dataset, pages: dict[str, PublishedPage]) -> None:
    page = pages["compare/brodipim/brodipim--loop-clip/"]
    found = pair(demo, "brodipim", "brodipim+loop-clip")
    assert page.title == "Brodipim: Clip joining the ear loops, against as sold"
    phrases = set_up_phrase(demo, found.a, found.b), set_up_phrase(demo, found.b, found.a)
    sentence = verdict_sentence(found, *phrases)
    assert page.description == f"{sentence} Invented demo data: do not choose a mask by it."
    assert f'<p class="sb-lead">{sentence}</p>' in page.html


def test_two_masks_are_named_as_sold(pages: dict[str, PublishedPage]) -> None:
    assert pages["compare/skevuthar/brodipim/"].title == "Brodipim against Skevuthar, both as sold"


def test_the_table_holds_every_wearer_of_both(demo: Dataset, pages: dict[str, PublishedPage]) -> None:
    for own in demo.likely_pairs.values():
        for found in own:
            html = pages[pair_address(found.a, found.b)].html
            rows = re.findall(r'<tr><th scope="row">([^<]+)</th><td>', html)
            assert rows == [wearer_label(one) for one in found.wearers]
            for one in found.wearers:
                assert verdict_words(one) in html
                assert f"<td>{ratio_label(one)}</td>" in html


def test_the_picture_shows_the_highest_first_below_what_all_say(demo: Dataset, pages: dict[str, PublishedPage]) -> None:
    found = pair(demo, "skevuthar", "brodipim")
    html = pages["compare/skevuthar/brodipim/"].html
    drawing = html[html.index("<svg") :]
    known = {one.wearer: one.ratio for one in found.wearers if one.ratio is not None}
    shown = [text for text in re.findall(r"<text[^>]*>([^<]*)</text>", drawing) if text in known]
    assert sorted(shown) == sorted(known)
    assert all((known[a] or 0) >= (known[b] or 0) for a, b in pairwise(shown))
    assert drawing.index("6 wearers together") < drawing.index("A new face (95 %)") < drawing.index(shown[0])


def test_it_leads_to_the_live_comparison_to_both_masks_and_to_the_parts(pages: dict[str, PublishedPage]) -> None:
    html = pages["compare/skevuthar/skevuthar--broad-strip/"].html
    links = set(re.findall(r'href="../../../([^"#]*)', html.replace("&amp;", "&")))
    assert {compare_address(["skevuthar", "skevuthar+broad-strip"]), mask_address("skevuthar")} <= links
    assert hack_address("broad-strip") in links
    assert {mask_address("brodipim"), mask_address("skevuthar")} <= set(
        re.findall(r'href="../../../([^"#]*)', pages["compare/skevuthar/brodipim/"].html)
    )


def test_what_a_part_warns_of_stands_on_the_page_of_the_change_alone(
    demo: Dataset, pages: dict[str, PublishedPage]
) -> None:
    part = demo.part("broad-strip")
    assert part is not None
    assert part.cautions
    html = pages["compare/skevuthar/skevuthar--broad-strip/"].html
    assert all(caution in html for caution in part.cautions)
    assert "Before you change a mask" in html
    assert "Before you change a mask" not in pages["compare/skevuthar/brodipim/"].html


def test_mask_and_hack_pages_lead_there(demo: Dataset) -> None:
    render = Renderer(demo)
    mask = next(page.html for page in mask_pages(demo, render) if page.address == "masks/skevuthar/")
    hack = next(page.html for page in hack_pages(demo, render) if page.address == "hacks/broad-strip/")
    assert 'href="../../compare/skevuthar/skevuthar--broad-strip/"' in mask
    assert 'href="../../compare/skevuthar/skevuthar--broad-strip/"' in hack


def texts(data: Dataset, found: Comparison) -> list[str]:
    return [shape.text for shape in pair_preview(data, found).shapes if isinstance(shape, Text)]


def test_the_preview_says_what_is_compared_the_ratio_and_the_verdict(demo: Dataset) -> None:
    change = texts(demo, pair(demo, "brodipim", "brodipim+loop-clip"))
    assert change[2:4] == ["Brodipim", "Clip joining the ear loops, against as sold"]
    masks = texts(demo, pair(demo, "skevuthar", "brodipim"))
    assert masks[2:4] == ["Brodipim against Skevuthar", "Both as sold"]
    assert {"2.79", "x1.61 to x4.7", "x0.697 to x10.2", "Clearly higher, on the 6 wearers who tried both."} <= set(
        masks
    )


def test_hostile_names_stay_text_and_do_not_leave_the_preview(tmp_path: Path) -> None:
    entries = tmp_path / "entries"
    shutil.copytree(ROOT / "entries", entries)
    for path in (entries / "parts").glob("*.toml"):
        name = f'name = "<script>{"마" * 60} & {path.stem}</script>"'
        path.write_text(re.sub(r"(?m)^name = .*$", name, path.read_text("utf-8"), count=1), "utf-8")
    data = build_dataset(entries)
    page = next(page for page in pair_pages(data, Renderer(data)) if page.address.endswith("--broad-strip/"))
    assert "<script>" not in page.html
    assert "&lt;script&gt;" in page.html
    assert "broad-strip, against as sold" in texts(data, pair(data, "skevuthar", "skevuthar+broad-strip"))
