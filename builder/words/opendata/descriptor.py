"""The Data Package that describes the open data, so that programs read them with their types.

Data Package and Table Schema, version 1, specs.frictionlessdata.io.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import Any

from builder.findings.open_tables import Table
from builder.words.catalogue import say
from builder.words.opendata import about as words
from builder.words.opendata.about import About

TYPES = {"str": "string", "float64": "number", "int64": "integer", "bool": "boolean"}
REFERRED = "configurations"
"""The table that the others refer to by its key."""


def datapackage(about: About, tables: Sequence[Table], csv: Mapping[str, bytes]) -> str:
    """Write datapackage.json. `csv` holds the content of the CSV file of each table by the table's name."""
    package: dict[str, object] = {
        "profile": "tabular-data-package",
        "name": about.id,
        "title": about.title,
        "version": words.FORMAT_VERSION,
        "description": about.description,
        "keywords": list(words.KEYWORDS),
        "licenses": [{"name": words.LICENCE, "title": words.LICENCE_TITLE, "path": words.LICENCE_ADDRESS}],
        "sources": [{"title": say("open_data.source")}],
        "contributors": [{"title": about.authors, "role": "author"}],
        "citation": about.citation,
        "resources": [_resource(table, csv[table.name]) for table in tables],
    }
    if about.address:
        package["homepage"] = about.address
    return _written(package)


def told_of(package: str, table: str, content: bytes) -> str:
    """Tell of other bytes of a table's CSV file in a descriptor that is written already."""
    told: dict[str, Any] = json.loads(package)
    (resource,) = (one for one in told["resources"] if one["name"] == table)
    resource.update(_bytes(content))
    return _written(told)


def _written(package: Mapping[str, object]) -> str:
    return json.dumps(package, indent=2, ensure_ascii=False) + "\n"


def _bytes(content: bytes) -> dict[str, object]:
    return {"bytes": len(content), "hash": f"sha256:{hashlib.sha256(content).hexdigest()}"}


def _resource(table: Table, content: bytes) -> dict[str, object]:
    return {
        "profile": "tabular-data-resource",
        "name": table.name,
        "title": table.title,
        "path": f"{table.name}.csv",
        "format": "csv",
        "mediatype": words.MEDIA_TYPES["csv"],
        "encoding": "utf-8",
        **_bytes(content),
        "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "header": True},
        "schema": _schema(table),
    }


def _schema(table: Table) -> dict[str, object]:
    fields = []
    for name, column in table.columns.items():
        field = {"name": name, "type": "date" if name == "date" else TYPES[column.dtype], "description": column.meaning}
        fields.append(field | ({"unit": column.unit} if column.unit else {}))
    schema: dict[str, object] = {"fields": fields, "missingValues": [""]}
    if table.key:
        schema["primaryKey"] = table.key
    if table.name != REFERRED and "configuration" in table.columns:
        reference = {"resource": REFERRED, "fields": "configuration"}
        schema["foreignKeys"] = [{"fields": "configuration", "reference": reference}]
    return schema
