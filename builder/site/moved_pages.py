"""A small page at each old address of a mask, a part or a comparison that has another name now; it leads on."""

from __future__ import annotations

from collections.abc import Iterator

from builder.findings.dataset import Dataset
from builder.records.former_names import former_configurations, former_masks, former_parts
from builder.records.kept_addresses import Renaming
from builder.site.addresses import (
    hack_address,
    mask_address,
    pair_address,
    share_address,
    source_address,
    test_anchor,
)
from builder.site.mask_pages import SECTION
from builder.site.published import PublishedPage, Renderer
from builder.words.catalogue import say
from builder.words.labels import mask_label, part_label
from builder.words.pair_words import pair_title

HACKS = "hacks/"


def moved_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give the pages. A part leads on where the part it is now has a page of its own."""
    tried = {token for parts in data.table["parts"].unique() for token in str(parts).split("+")}
    for renaming in data.entries.renamed:
        if renaming.mask:
            for address_of in (mask_address, source_address, share_address):
                targets = [(address_of(mask), _label(data, mask)) for mask in renaming.to]
                yield _page(render, renaming, address_of(renaming.mask), targets, _tests(data, renaming))
        elif renaming.part and tried.issuperset(renaming.to):
            targets = [(hack_address(part), part_label(data, part)) for part in renaming.to]
            yield _page(render, renaming, hack_address(renaming.part), targets, [])
    yield from _pairs(data, render)


def _pairs(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give a page for each comparison of today under every name that its two had, unless that is another's now."""
    masks, parts = former_masks(data.entries.renamed), former_parts(data.entries.renamed)
    if not masks and not parts:
        return
    pairs = [found for own in data.likely_pairs.values() for found in own]
    taken = {pair_address(found.a, found.b) for found in pairs}
    for found in pairs:
        title = pair_title(data, found)
        for (a, b), day in former_configurations((found.a, found.b), masks, parts):
            address = pair_address(a, b)
            if address in taken:
                continue
            taken.add(address)
            yield PublishedPage(
                address=address,
                title=say("moved_page.pair"),
                description=say("about.moved_pair", named=title),
                html=render(
                    "moved.html",
                    depth=address.count("/"),
                    crumb=say("explorer.tick"),
                    back="compare/",
                    heading=say("moved_page.pair"),
                    date=day,
                    targets=[(pair_address(found.a, found.b), title)],
                    was=b,
                    now=found.b,
                    tests=[],
                ),
                section="compare.md",
            )


def _page(
    render: Renderer,
    renaming: Renaming,
    address: str,
    targets: list[tuple[str, str]],
    tests: list[tuple[str, str, str]],
) -> PublishedPage:
    named = say("label.and").join(label for _, label in targets)
    return PublishedPage(
        address=address,
        title=say("moved_page.now", was=renaming.old, named=named),
        description=say("about.moved_mask" if renaming.mask else "about.moved_part", was=renaming.old, named=named),
        html=render(
            "moved.html",
            depth=address.count("/"),
            crumb=say("page.explore" if renaming.mask else "page.hacks"),
            back="explore/" if renaming.mask else HACKS,
            heading=say("moved_page.title", was=renaming.old),
            date=renaming.date,
            targets=targets,
            was=renaming.old,
            now=renaming.to[0],
            tests=tests,
        ),
        section=SECTION if renaming.mask else "hacks.md",
    )


def _tests(data: Dataset, renaming: Renaming) -> list[tuple[str, str, str]]:
    """Give for each test of a mask that was split its old anchor, where it is now, and its mask's name."""
    if len(renaming.to) == 1:
        return []
    own = data.table[data.table["mask"].isin(renaming.to)]
    return [(test_anchor(test), test, _label(data, test.partition("/")[0])) for test in map(str, sorted(own["test"]))]


def _label(data: Dataset, mask: str) -> str:
    record = data.entries.masks.get(mask)
    return mask_label(record.mask) if record else mask
