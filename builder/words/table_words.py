"""The tables of the open data as the data page tells of them: in English what the tables say themselves."""

from __future__ import annotations

from builder.findings.open_tables import Table
from builder.words.catalogue import language


def title(table: Table) -> str:
    """Say what the rows of a table are."""
    return language().tables.get(table.name) or table.title


def meaning(table: Table, name: str) -> str:
    """Say what a column of a table means. KeyError for a column that the table does not have."""
    return language().columns.get(table.name, {}).get(name) or table.columns[name].meaning
