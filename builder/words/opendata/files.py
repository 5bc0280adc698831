"""All files of the open data, for the site and for `sealbook export` alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from builder.findings.open_tables import Table
from builder.words.opendata.about import About, citation_file, licence_text
from builder.words.opendata.descriptor import datapackage
from builder.words.opendata.formats import as_csv, as_json, as_parquet


def open_files(
    about: About, tables: Sequence[Table], *, whole: bool = False, parquet: bool = False
) -> Iterator[tuple[str, str | bytes]]:
    """Give path and content of each table in the forms a site offers, or the `whole`: as CSV and JSON.

    On request as Parquet too; then Data Package, licence and citation.
    """
    csv = {table.name: as_csv(table.frame).encode() for table in tables}
    for table in tables:
        yield f"{table.name}.csv", csv[table.name]
        if whole or "json" in table.forms:
            yield f"{table.name}.json", as_json(table.frame)
        if parquet:
            yield f"{table.name}.parquet", as_parquet(table.frame)
    yield "datapackage.json", datapackage(about, tables, csv)
    yield "LICENSE", licence_text()
    yield "CITATION.cff", citation_file(about)
