"""The whole site: every page and every file, from one dataset."""

from __future__ import annotations

from collections.abc import Iterator

from builder.site import compare, downloads, explorer, faces, hacks, masks, rules, start
from builder.site.dataset import Dataset
from builder.site.pages import PublishedFile, PublishedPage, Renderer


def published_pages(data: Dataset, repository: str = "") -> Iterator[PublishedPage]:
    """Give every generated page. `repository` is the address of the repository, "" for none."""
    render = Renderer(data, repository)
    yield start.start_page(data, render)
    yield explorer.explorer_page(data, render)
    yield from masks.mask_pages(data, render)
    yield from hacks.hack_pages(data, render)
    yield from faces.face_pages(data, render)
    yield compare.compare_page(data, render)
    yield downloads.data_page(data, render)
    yield rules.rules_page(render)


def published_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give every generated file that is no page."""
    yield from explorer.explorer_files(data)
    yield from masks.mask_files(data)
    yield from hacks.hack_files(data)
    yield from compare.compare_files(data)
    yield from downloads.download_files(data)
