"""A page for each comparison that somebody is likely to speak of, so that its address unfurls as that comparison."""

from __future__ import annotations

from collections.abc import Iterator, Set

from builder.findings.dataset import Dataset
from builder.fit.compare.two_configurations import Comparison
from builder.site.addresses import pair_address
from builder.site.kept_pictures import png_of
from builder.site.mask_pages import by_mask
from builder.site.pair_picture import pair_picture
from builder.site.pair_preview import pair_preview
from builder.site.published import PublishedFile, PublishedPage, Renderer, picture_of
from builder.words.pair_words import (
    pair_cautions,
    pair_description,
    pair_method,
    pair_ratio,
    pair_sentence,
    pair_title,
)

PNG_WIDTH = 800
"""Width of a preview in pixels: there are many, and at this width one has half the bytes of the drawing's own."""


def pair_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give the pages, by mask."""

    def pages(masks: Set[str]) -> dict[str, list[PublishedPage]]:
        own = data.likely_pairs
        return {mask: [_pair_page(data, render, found) for found in own[mask]] for mask in own.keys() & masks}

    for of_mask in by_mask(data.of_masks("pair pages", pages)):
        yield from of_mask


def pair_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give the pictures that previews of links to the pages show."""

    def pictures(masks: Set[str]) -> dict[str, list[PublishedFile]]:
        own = data.likely_pairs
        return {mask: [_preview_file(data, found) for found in own[mask]] for mask in own.keys() & masks}

    for of_mask in by_mask(data.of_masks("pair previews", pictures)):
        yield from of_mask


def _preview_file(data: Dataset, found: Comparison) -> PublishedFile:
    address = pair_address(found.a, found.b)
    return PublishedFile(picture_of(address), png_of(data, pair_preview(data, found), PNG_WIDTH))


def _pair_page(data: Dataset, render: Renderer, found: Comparison) -> PublishedPage:
    address = pair_address(found.a, found.b)
    title = pair_title(data, found)
    masks = list(dict.fromkeys(side.partition("+")[0] for side in (found.b, found.a)))
    return PublishedPage(
        address=address,
        title=title,
        description=pair_description(data, found),
        html=render(
            "pair.html",
            depth=3,
            found=found,
            title=title,
            sentence=pair_sentence(data, found),
            ratio=pair_ratio(data, found),
            picture=pair_picture(found, title),
            method=pair_method(data, found),
            cautions=pair_cautions(data, found),
            changed="+" in found.b,
            masks=masks,
            parts=[token for token in found.b.split("+")[1:] if data.part(token)],
        ),
        section="compare.md",
        picture=picture_of(address),
        picture_width=PNG_WIDTH,
    )
