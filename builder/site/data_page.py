"""The data page, and the files of the open data that it offers."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from builder.findings.dataset import Dataset
from builder.findings.open_tables import TESTS, open_tables, tests_table
from builder.records.spoken import SPOKEN
from builder.site.published import PublishedFile, PublishedPage, Renderer
from builder.words.catalogue import say
from builder.words.opendata.about import FORMAT_VERSION, About, catalogue_entry
from builder.words.opendata.descriptor import datapackage, told_of
from builder.words.opendata.files import PACKAGE, offered, texts
from builder.words.opendata.formats import as_csv

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


def files_of_figures(data: Dataset, address: str = "") -> Iterator[PublishedFile]:
    """Give the files of the open data but those of `files_of_tests`."""
    _, *tables = open_tables(data)
    for path, content in (*chain(*map(offered, tables)), *texts(About.of(data, address))):
        yield PublishedFile(FOLDER + path, content)


def files_of_tests(data: Dataset, address: str = "") -> Iterator[PublishedFile]:
    """Give the table of the tests, and the Data Package, which tells of its bytes."""
    tests = as_csv(tests_table(data)).encode()
    yield PublishedFile(f"{FOLDER}{TESTS}.csv", tests)
    yield PublishedFile(FOLDER + PACKAGE, told_of(_package(data.figured, address), TESTS, tests))


def _package(data: Dataset, address: str) -> str:
    """Give the Data Package, with nothing for the bytes of the table of the tests."""

    def made() -> bytes:
        first, *tables = open_tables(data)
        csv = {first.name: b""} | {table.name: as_csv(table.frame).encode() for table in tables}
        return datapackage(About.of(data, address), (first, *tables), csv).encode()

    # In haste figures of other entries stand in.
    if data.hasty or not data.digest:
        return made().decode()
    made_of = f"data package {SPOKEN.get()}\n{data.name}\n{address}\n{data.digest}"
    return data.pieces.of(made_of.encode(), made).decode()
