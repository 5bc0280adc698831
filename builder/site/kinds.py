"""The whole site: every page and every file, from one dataset."""

from __future__ import annotations

from collections.abc import Iterator

from builder.findings.dataset import Dataset
from builder.pictures.palette import style_rule
from builder.site import compare_page as compare
from builder.site import contribute_form as contribute
from builder.site import data_page as downloads
from builder.site import explorer_page as explorer
from builder.site import face_pages as faces
from builder.site import feed, previews
from builder.site import hack_pages as hacks
from builder.site import mask_pages as masks
from builder.site import method_figures as methods
from builder.site import rules_page as rules
from builder.site import share_pages as share
from builder.site import start_page as start
from builder.site import wanted_page as wanted
from builder.site.published import PublishedFile, PublishedPage, Renderer


def published_pages(data: Dataset, repository: str = "", address: str = "") -> Iterator[PublishedPage]:
    """Give every generated page.

    `repository` is the address of the repository, `address` that of the site, ending in "/"; "" where there is none.
    """
    render = Renderer(data, repository)
    yield start.start_page(data, render)
    yield explorer.explorer_page(data, render)
    yield from masks.mask_pages(data, render)
    yield from share.share_pages(data, render, address)
    yield from hacks.hack_pages(data, render)
    yield from faces.face_pages(data, render)
    yield compare.compare_page(data, render)
    yield wanted.wanted_page(data, render)
    yield downloads.data_page(data, render, address)
    yield rules.rules_page(render)


def published_files(data: Dataset, address: str = "") -> Iterator[PublishedFile]:
    """Give every generated file that is no page. `address` is that of the site, "" where it has none yet: no feed."""
    yield PublishedFile("assets/styles/palette.css", style_rule())
    yield from explorer.explorer_files(data)
    yield from masks.mask_files(data)
    yield from hacks.hack_files(data)
    yield from faces.face_files(data)
    yield from methods.method_files(data)
    yield from compare.compare_files(data)
    yield from contribute.contribute_files(data)
    yield from downloads.download_files(data, address)
    yield from previews.preview_files(data)
    yield from share.share_files(data, address)
    yield from feed.feed_files(data, address)
