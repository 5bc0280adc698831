"""A page a mask with the files that its figures were computed from, once: files are not translated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.records.entries import MaskRecord
from builder.site.addresses import mask_address, source_address, test_anchor
from builder.site.mask_pages import SECTION, by_mask
from builder.site.published import PublishedPage, Renderer, picture_of
from builder.site.shared_lines import parted
from builder.words.catalogue import say
from builder.words.labels import mask_label


@dataclass(frozen=True)
class Day:
    """What the files of a wearer's day share, "" for nothing, and each test's anchor with the rest of its file."""

    shared: Markup
    files: list[tuple[str, Markup]]


def source_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give a page for each mask: its own file, and that of each of its tests under the test's anchor.

    In languages below the root a page leads to it.
    """
    if render.folder:
        yield from (_leading_page(data, render, mask) for mask in sorted(data.entries.masks))
        return

    def pages(masks: Set[str]) -> dict[str, PublishedPage]:
        tests = {str(mask): own.tolist() for mask, own in data.table.groupby("mask", sort=True)["test"]}
        return {mask: _source_page(data, render, mask, tests.get(mask, ())) for mask in masks}

    yield from by_mask(data.of_masks("source", pages))


def _source_page(data: Dataset, render: Renderer, mask: str, tests: Sequence[str]) -> PublishedPage:
    record, folder = data.entries.masks[mask], f"tests/{mask}/"
    html = render(
        "source.html",
        depth=3,
        record=record,
        label=mask_label(record.mask),
        own=as_element(_text(data, record.path)),
        folder=folder,
        tests=[(anchor, _text(data, f"{folder}{anchor}.toml")) for anchor in map(test_anchor, tests)],
        days=days_of,
    )
    return _page(record, html)


def _leading_page(data: Dataset, render: Renderer, mask: str) -> PublishedPage:
    record = data.entries.masks[mask]
    return _page(record, render("source-elsewhere.html", depth=3, record=record, label=mask_label(record.mask)))


def _page(record: MaskRecord, html: str) -> PublishedPage:
    label = mask_label(record.mask)
    return PublishedPage(
        address=source_address(record.id),
        title=say("source_page.title", mask=label),
        description=say("about.source", mask=label),
        html=html,
        section=SECTION,
        picture=picture_of(mask_address(record.id)),
        told_once=True,
    )


def days_of(files: Sequence[tuple[str, str]]) -> Iterator[Day]:
    """Put together the files of a wearer's day, each a test's anchor and its text."""
    for _, own in groupby(files, key=lambda file: file[0].rpartition("-")[0]):
        anchors, texts = zip(*own, strict=True)
        shared, each = parted(texts) or ("", texts)
        yield Day(as_element(shared), list(zip(anchors, map(as_element, each), strict=True)))


def _text(data: Dataset, path: str) -> str:
    """Read a file as it is read as text everywhere: with one kind of line end."""
    content = data.contents.get(path)
    text = (content if content is not None else (data.root / path).read_bytes()).decode("utf-8-sig")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def as_element(text: str) -> Markup:
    """Give a file as the text of an element, where quotation marks stay as they are: files are full of them."""
    return Markup(text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;"))
