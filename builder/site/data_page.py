"""The data page, and the files of the open data that it offers."""

from __future__ import annotations

from collections.abc import Iterator

from builder.findings.dataset import Dataset
from builder.findings.open_tables import open_tables
from builder.site.published import PublishedFile, PublishedPage, Renderer
from builder.words.catalogue import say
from builder.words.opendata.about import FORMAT_VERSION, About, catalogue_entry
from builder.words.opendata.files import open_files

FOLDER = "data/"


def data_page(data: Dataset, render: Renderer, address: str = "") -> PublishedPage:
    """Offer the downloads and say what each column holds. `address` is where the site is published, "" if unknown."""
    about, tables = About.of(data, address), open_tables(data)
    return PublishedPage(
        address=FOLDER,
        title=say("page.data"),
        description=say("about.data"),
        html=render(
            "data.html",
            depth=1,
            about=about,
            tables=tables,
            catalogue_entry=catalogue_entry(about, tables),
            version=FORMAT_VERSION,
            feed=address,
        ),
        section="data.md",
    )


def download_files(data: Dataset, address: str = "") -> Iterator[PublishedFile]:
    """Give the files of the open data."""
    for path, content in open_files(About.of(data, address), open_tables(data)):
        yield PublishedFile(FOLDER + path, content)
