"""The tables of the open data in every language: each table and each of its columns, with the same numbers."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from builder.findings.dataset import Dataset
from builder.findings.open_tables import open_tables
from builder.words.catalogue import read_language
from builder.words.table_words import meaning, title

# What a cell of a column may hold is said as it stands there.
HELD = re.compile(
    r"\d+|at_(?:least|most)|(?:one|same|other)-wearers?|not-done|cannot-tell|\b(?:outside|unknown|passed|failed)\b"
)


def test_english_says_what_the_tables_say(demo: Dataset) -> None:
    for table in open_tables(demo):
        assert title(table) == table.title
        assert {name: meaning(table, name) for name in table.columns} == {
            name: column.meaning for name, column in table.columns.items()
        }


@pytest.mark.parametrize("name", ["de"])
def test_every_other_language_says_what_each_column_means(name: str, demo: Dataset) -> None:
    spoken = read_language(files("builder.words").joinpath("languages", f"{name}.toml").read_text("utf-8"))
    tables = {table.name: table for table in open_tables(demo)}
    assert {table: sorted(said) for table, said in spoken.columns.items()} == {
        name: sorted(table.columns) for name, table in tables.items()
    }
    assert spoken.tables.keys() == tables.keys()
    for table, said in spoken.columns.items():
        for column, german in said.items():
            english = tables[table].columns[column].meaning
            assert sorted(HELD.findall(german)) == sorted(HELD.findall(english)), f"{table}.{column}"
