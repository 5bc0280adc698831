"""What the descriptor of the open data says of keys and units."""

from __future__ import annotations

import json
from typing import Any

import pytest

from builder.findings.dataset import Dataset
from builder.findings.open_tables import open_tables
from builder.words.opendata.about import About
from builder.words.opendata.descriptor import datapackage

UNITS = {"1", "%", "mm", "ln", "1/cm3", "s", "h", "°C"}


@pytest.fixture(scope="module")
def schemas(demo: Dataset) -> dict[str, Any]:
    """The schema of each table by its name."""
    tables = open_tables(demo)
    package = json.loads(datapackage(About.of(demo), tables, {table.name: b"" for table in tables}))
    return {resource["name"]: resource["schema"] for resource in package["resources"]}


def test_every_table_of_configurations_refers_to_them(schemas: dict[str, Any]) -> None:
    assert {name: schema.get("primaryKey") for name, schema in schemas.items()} == {
        "tests": "test",
        "configurations": "configuration",
        "wearing": "configuration",
        "contrasts": None,
        "predictions": "configuration",
    }
    reference = {"resource": "configurations", "fields": "configuration"}
    assert {name: schema.get("foreignKeys") for name, schema in schemas.items()} == {
        "tests": [{"fields": "configuration", "reference": reference}],
        "configurations": None,
        "wearing": [{"fields": "configuration", "reference": reference}],
        "contrasts": [{"fields": "configuration", "reference": reference}],
        "predictions": [{"fields": "configuration", "reference": reference}],
    }


def test_every_number_has_a_unit_and_every_column_a_sentence(schemas: dict[str, Any]) -> None:
    fields = [(name, field) for name, schema in schemas.items() for field in schema["fields"]]
    for table, field in fields:
        is_number = field["type"] in {"number", "integer"}
        assert (field.get("unit") in UNITS) if is_number else ("unit" not in field), (table, field["name"])
        assert field["description"].endswith("."), (table, field["name"])
    assert {field["type"] for _, field in fields} == {"string", "date", "number", "integer", "boolean"}
