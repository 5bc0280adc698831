"""All files of the open data, for the site and for `sealbook export` alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from builder.findings.open_tables import Table
from builder.words.opendata.about import About, citation_file, licence_text
from builder.words.opendata.descriptor import datapackage
from builder.words.opendata.formats import as_csv, as_json, as_parquet

PACKAGE = "datapackage.json"


def open_files(about: About, tables: Sequence[Table], *, parquet: bool = False) -> Iterator[tuple[str, str | bytes]]:
    """Give path and content of each table as CSV and JSON, on request as Parquet; then Data Package and `texts`."""
    csv = {table.name: as_csv(table.frame).encode() for table in tables}
    for table in tables:
        yield f"{table.name}.csv", csv[table.name]
        yield f"{table.name}.json", as_json(table.frame)
        if parquet:
            yield f"{table.name}.parquet", as_parquet(table.frame)
    yield PACKAGE, datapackage(about, tables, csv)
    yield from texts(about)


def offered(table: Table) -> Iterator[tuple[str, str | bytes]]:
    """Give path and content of a table in the forms that a site offers."""
    yield f"{table.name}.csv", as_csv(table.frame).encode()
    if "json" in table.forms:
        yield f"{table.name}.json", as_json(table.frame)


def texts(about: About) -> Iterator[tuple[str, str]]:
    """Give licence and citation."""
    yield "LICENSE", licence_text()
    yield "CITATION.cff", citation_file(about)
