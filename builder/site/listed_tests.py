"""The list of a mask's tests with all that was noted of each, packed beside its page, which has the figures alone.

Who opens the list has it put in. The file that each figure leads to says the same, without scripts too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set

from builder.findings.dataset import Dataset
from builder.site.addresses import mask_address, source_address
from builder.site.mask_pages import by_mask, every_test, old_anchors
from builder.site.published import PublishedFile, Renderer, compact_json, packed
from builder.site.shown_tests import Remark, ShownTest, remarks_by_test, shown_by_mask


def listed_tests(data: Dataset, render: Renderer) -> Iterator[PublishedFile]:
    """Give the file of each mask that was tested: the table of each configuration, in the order of the page."""
    anchors = old_anchors(data.entries.renamed)

    def lists(masks: Set[str]) -> dict[str, PublishedFile]:
        tests, remarks = shown_by_mask(data), remarks_by_test(data)
        return {mask: _list(render, mask, own, remarks, anchors) for mask, own in tests.items() if mask in masks}

    yield from by_mask(data.of_masks("tests", lists))


def _list(
    render: Renderer,
    mask: str,
    own: Sequence[ShownTest],
    remarks: Mapping[str, Remark],
    anchors: Mapping[str, list[str]],
) -> PublishedFile:
    source = source_address(mask)
    tables = [
        render("mask-tests.html", depth=2, wearers=wearers, remarks=remarks, anchors=anchors, source=source)
        for _, _, wearers in every_test(own)
    ]
    return PublishedFile(f"{mask_address(mask)}tests.packed", packed(compact_json(tables)))
