"""`sealbook export` writes open data that another program reads by their description, or nothing."""

from __future__ import annotations

import csv
import errno
import io
import json
import shutil
from pathlib import Path

import frictionless
import pandas as pd
import pytest
from click.testing import CliRunner, Result
from frictionless.resources import TableResource

from builder.cli import main
from builder.findings.dataset import Dataset
from builder.findings.open_tables import FOLLOWING
from builder.findings.table import COLUMNS
from builder.records import disk, writing_files
from builder.site.data_page import files_of_figures, files_of_tests
from builder.words.opendata import formats
from tests.conftest import ROOT

TABLES = ["tests", "configurations", "wearing", "contrasts", "predictions"]


def run(folder: Path, entries: Path = ROOT / "entries") -> Result:
    return CliRunner().invoke(main, ["export", str(folder), "--entries", str(entries)])


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Entries by too few wearers for the face model, so that they are exported in a moment."""
    entries = tmp_path_factory.mktemp("few") / "entries"
    options = ["--tests", "40", "--wearers", "5", "--masks", "3"]
    assert CliRunner().invoke(main, ["demo", str(entries), *options]).exit_code == 0
    return entries


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("export") / "new" / "open-data"
    result = run(folder)
    assert result.exit_code == 0, result.output
    assert f"files in {folder}: tests.csv" in result.stdout
    return folder


def test_it_is_a_valid_data_package(exported: Path) -> None:
    """Data Package and Table Schema, version 1: descriptor, types of every cell, keys, references, sizes, hashes."""
    report = frictionless.Package(str(exported / "datapackage.json")).validate()
    assert report.valid, report.flatten(["type", "message"])
    assert [task.name for task in report.tasks] == TABLES


@pytest.mark.parametrize("table", TABLES)
def test_the_json_holds_the_rows_of_the_csv(exported: Path, table: str) -> None:
    """As another program reads the row arrays of Tabular Data Resource, version 1, by the schema of the CSV file."""
    package = json.loads((exported / "datapackage.json").read_text(encoding="utf-8"))
    schema = next(resource["schema"] for resource in package["resources"] if resource["name"] == table)
    described = {"name": table, "type": "table", "schema": schema | {"foreignKeys": []}}
    rows = json.loads((exported / f"{table}.json").read_text(encoding="utf-8"))
    from_csv = TableResource.from_descriptor(described | {"path": f"{table}.csv"}, basepath=str(exported))
    from_json = TableResource.from_descriptor(described | {"data": rows})
    report = from_json.validate()
    assert report.valid, report.flatten(["type", "message"])
    assert len(rows) > 10
    assert [row.to_list() for row in from_json.read_rows()] == [row.to_list() for row in from_csv.read_rows()]


def test_the_validator_finds_a_cell_of_the_wrong_type(exported: Path, tmp_path: Path) -> None:
    broken = tmp_path / "broken"
    shutil.copytree(exported, broken)
    path = broken / "configurations.csv"
    lines = path.read_bytes().split(b"\r\n")
    lines[1] = lines[1].replace(b",false,", b",perhaps,", 1)
    path.write_bytes(b"\r\n".join(lines))
    found = {error[0] for error in frictionless.Package(str(broken / "datapackage.json")).validate().flatten(["type"])}
    assert {"type-error", "hash-count"} <= found


def test_every_field_has_its_type_unit_and_meaning(exported: Path) -> None:
    package = json.loads((exported / "datapackage.json").read_text(encoding="utf-8"))
    assert [licence["name"] for licence in package["licenses"]] == ["CC0-1.0"]
    assert package["title"] and package["sources"][0]["title"] and package["citation"]
    fields = {
        resource["name"]: {f["name"]: f for f in resource["schema"]["fields"]} for resource in package["resources"]
    }
    assert fields["tests"]["face_length_mm"]["unit"] == "mm"
    assert fields["tests"]["date"]["type"] == "date"
    assert {name: field["description"] for name, field in fields["tests"].items()} == {
        name: column.meaning for name, column in COLUMNS.items() if name not in FOLLOWING
    }
    assert all(field["description"] for resource in fields.values() for field in resource.values())


def test_the_site_offers_the_same_files(exported: Path, demo: Dataset) -> None:
    for file in (*files_of_figures(demo.figured), *files_of_tests(demo)):
        content = file.content if isinstance(file.content, bytes) else file.content.encode()
        assert (exported / file.path.removeprefix("data/")).read_bytes() == content, file.path


def test_no_cell_is_a_formula(few: Path, tmp_path: Path) -> None:
    entries = tmp_path / "entries"
    shutil.copytree(few, entries)
    path = next(
        path for path in sorted((entries / "tests").rglob("*.toml")) if "\n[observations]\n" not in path.read_text()
    )
    path.write_text(path.read_text() + "\n[observations]\nnotes = '=1+1'\n")
    assert run(tmp_path / "out", entries).exit_code == 0
    text = (tmp_path / "out" / "tests.csv").read_text(encoding="utf-8")
    notes = [row["notes"] for row in csv.DictReader(io.StringIO(text, newline=""))]
    assert "'=1+1" in notes
    assert "=1+1" not in notes


def test_an_empty_folder_is_filled_and_another_is_left_alone(few: Path, tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    assert run(empty, few).exit_code == 0
    assert (empty / "CITATION.cff").exists()
    before = {path: path.read_bytes() for path in empty.iterdir()}
    result = run(empty, few)
    assert result.exit_code == 2
    assert "not empty; nothing was written" in result.stderr
    assert {path: path.read_bytes() for path in empty.iterdir()} == before
    assert run(empty / "tests.csv", few).exit_code == 2


def test_the_entries_folder_stays_one_of_entries(few: Path) -> None:
    result = run(few / "open", few)
    assert result.exit_code == 2
    assert "lies in the entries folder" in result.stderr
    assert not (few / "open").exists()


@pytest.mark.parametrize("there", [True, False])
def test_a_full_disk_leaves_nothing(few: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: bool) -> None:
    folder = tmp_path / "out"
    if there:
        folder.mkdir()
    write_new = disk.write_new

    def full_disk(path: Path, content: bytes, *, flush: bool) -> None:
        if b"cff-version" in content:
            raise OSError(errno.ENOSPC, "No space left on device")
        write_new(path, content, flush=flush)

    monkeypatch.setattr(writing_files, "write_new", full_disk)
    result = run(folder, few)
    assert result.exit_code == 1
    assert result.stderr == "Error: Nothing was written: No space left on device.\n"
    assert folder.exists() == there
    assert not there or list(folder.iterdir()) == []


def test_wrong_entries_end_with_1_and_no_files(tmp_path: Path) -> None:
    (tmp_path / "entries" / "masks").mkdir(parents=True)
    (tmp_path / "entries" / "masks" / "cup.toml").write_text("model = 3\n")
    result = run(tmp_path / "out", tmp_path / "entries")
    assert result.exit_code == 1
    assert "cup.toml:1" in result.stderr
    assert not (tmp_path / "out").exists()


def test_with_too_little_for_the_model_it_says_why(tmp_path: Path) -> None:
    (tmp_path / "entries").mkdir()
    result = run(tmp_path / "out", tmp_path / "entries")
    assert result.exit_code == 0, result.output
    assert "No predictions: " in result.stdout
    assert not (tmp_path / "out" / "predictions.csv").exists()
    assert frictionless.Package(str(tmp_path / "out" / "datapackage.json")).validate().valid


def test_parquet_only_where_pyarrow_is(few: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With a stand-in for pyarrow, which need not be installed."""
    monkeypatch.setattr(formats, "can_write_parquet", lambda: True)
    monkeypatch.setattr("builder.words.opendata.files.as_parquet", lambda frame: f"{len(frame)} rows".encode())
    assert run(tmp_path / "with", few).exit_code == 0
    assert {path.stem for path in (tmp_path / "with").glob("*.parquet")} == {
        "tests",
        "configurations",
        "wearing",
        "contrasts",
    }
    rows = len(pd.read_csv(tmp_path / "with" / "tests.csv"))
    assert (tmp_path / "with" / "tests.parquet").read_text() == f"{rows} rows"
    monkeypatch.setattr(formats, "can_write_parquet", lambda: False)
    assert run(tmp_path / "without", few).exit_code == 0
    assert list((tmp_path / "without").glob("*.parquet")) == []
