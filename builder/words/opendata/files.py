"""All files of the open data, for the site and for `sealbook export` alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from builder.findings.open_tables import Table
from builder.site.published import PublishedFile
from builder.words.opendata.about import About, citation_file, licence_text
from builder.words.opendata.descriptor import datapackage
from builder.words.opendata.formats import as_csv, as_json, as_parquet


def open_files(about: About, tables: Sequence[Table], *, parquet: bool = False) -> Iterator[PublishedFile]:
    """Give each table as CSV and JSON, on request as Parquet; their Data Package, licence and citation."""
    csv = {table.name: as_csv(table.frame).encode() for table in tables}
    for table in tables:
        yield PublishedFile(f"{table.name}.csv", csv[table.name])
        yield PublishedFile(f"{table.name}.json", as_json(table.frame))
        if parquet:
            yield PublishedFile(f"{table.name}.parquet", as_parquet(table.frame))
    yield PublishedFile("datapackage.json", datapackage(about, tables, csv))
    yield PublishedFile("LICENSE", licence_text())
    yield PublishedFile("CITATION.cff", citation_file(about))
