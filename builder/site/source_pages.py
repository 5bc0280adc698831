"""A page a mask with the files that its figures were computed from."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.site.addresses import mask_address, source_address, test_anchor
from builder.site.mask_pages import SECTION
from builder.site.published import PublishedPage, Renderer, picture_of
from builder.words.labels import mask_label


def source_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give a page for each mask: its own file, and that of each of its tests under the test's anchor."""
    tests = {str(mask): own.tolist() for mask, own in data.table.groupby("mask", sort=True)["test"]}
    for mask_id, record in sorted(data.entries.masks.items()):
        label, folder = mask_label(record.mask), f"tests/{mask_id}/"
        anchors = [test_anchor(test) for test in tests.get(mask_id, ())]
        yield PublishedPage(
            address=source_address(mask_id),
            title=f"{label}: files",
            description=f"The files that the figures of {label} were computed from.",
            html=render(
                "source.html",
                depth=3,
                record=record,
                label=label,
                own=_shown(data.root / record.path),
                folder=folder,
                tests=[(anchor, _shown(data.root / folder / f"{anchor}.toml")) for anchor in anchors],
            ),
            section=SECTION,
            picture=picture_of(mask_address(mask_id)),
        )


def _shown(path: Path) -> Markup:
    """Read a file as the text of an element, where quotation marks stay as they are: files are full of them."""
    text = path.read_text("utf-8-sig")
    return Markup(text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;"))
