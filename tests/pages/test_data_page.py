"""The open data say what the tables say, in files that other programs read."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import sys
from dataclasses import replace
from html import unescape
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from builder.findings.dataset import Dataset
from builder.findings.open_tables import (
    CONTRAST_COLUMNS,
    FOLLOWING,
    FORMS,
    PREDICTION_COLUMNS,
    SUMMARY_COLUMNS,
    contrasts,
    open_tables,
)
from builder.findings.table import COLUMNS
from builder.findings.wearing import WEARING_COLUMNS
from builder.fit.summary.summaries import summarise
from builder.site.data_page import data_page, files_of_figures, files_of_tests
from builder.site.published import PublishedFile, Renderer
from builder.words.opendata.about import About, catalogue_entry, citation_file, licence_text
from builder.words.opendata.formats import as_csv, as_json, as_objects, as_parquet
from builder.words.predictions import no_model_sentence
from tests.conftest import ROOT

ADDRESS = "https://seals.example/bench/"


def downloads(data: Dataset, address: str = "") -> list[PublishedFile]:
    return [*files_of_figures(data.figured, address), *files_of_tests(data, address)]


# The characters that OWASP, "CSV Injection", names as starts of a formula, and their full-width forms.
@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"])
def test_no_cell_begins_a_formula(start: str) -> None:
    text = as_csv(pd.DataFrame({"notes": [f"{start}1+1"]}))
    assert list(csv.reader(io.StringIO(text, newline="")))[1] == [f"'{start}1+1"]


def test_a_negative_number_stays_a_number() -> None:
    assert as_csv(pd.DataFrame({"x": [-1.5]})) == "x\r\n-1.5\r\n"


def test_csv_and_json_read_back_to_the_table(demo: Dataset) -> None:
    back = pd.read_csv(io.StringIO(as_csv(demo.table)), keep_default_na=False)
    assert back["test"].tolist() == demo.table["test"].tolist()
    assert back["fit_factor"].astype(float).tolist() == pytest.approx(demo.table["fit_factor"].tolist())
    names, *rows = json.loads(as_json(demo.summary))
    back = pd.DataFrame(rows, columns=names)
    assert names == demo.summary.columns.tolist()
    assert back["configuration"].tolist() == demo.summary["configuration"].tolist()
    assert back["gsd"].astype(float).tolist() == pytest.approx(demo.summary["gsd"].tolist(), nan_ok=True)


def test_nothing_known_is_null_and_empty() -> None:
    frame = pd.DataFrame({"a": [float("nan"), 138.0], "b": [True, False], "c": ["", 'say "x"']})
    assert as_json(frame) == '[\n["a","b","c"],\n[null,true,""],\n[138,false,"say \\"x\\""]\n]\n'
    assert as_csv(frame) == 'a,b,c\r\n,true,\r\n138.0,false,"say ""x"""\r\n'
    assert json.loads(as_objects(frame))[0] == {"a": None, "b": True, "c": ""}


def test_what_has_no_place_in_a_download_is_refused() -> None:
    with pytest.raises(TypeError, match="list"):
        as_json(pd.DataFrame({"a": [[1]]}))


def test_parquet_reads_back_to_the_table(demo: Dataset) -> None:
    pytest.importorskip("pyarrow", reason="pyarrow is optional")
    back = pd.read_parquet(io.BytesIO(as_parquet(demo.summary)))
    assert back["median_fit_factor"].tolist() == demo.summary["median_fit_factor"].tolist()


def test_every_column_is_explained(demo: Dataset) -> None:
    assert [table.name for table in open_tables(demo)] == [
        "tests",
        "configurations",
        "wearing",
        "contrasts",
        "predictions",
    ]
    told = {name: column for name, column in COLUMNS.items() if name not in FOLLOWING}
    dictionaries = (told, SUMMARY_COLUMNS, WEARING_COLUMNS, CONTRAST_COLUMNS, PREDICTION_COLUMNS)
    for table, columns in zip(open_tables(demo), dictionaries, strict=True):
        assert list(columns) == table.frame.columns.tolist()
        for name, column in columns.items():
            dtype = "object" if column.dtype == "str" else column.dtype
            assert table.frame[name].dtype in (dtype, "str"), name


def test_contrasts_hold_each_rung_and_each_wearer_on_it(demo: Dataset) -> None:
    table = contrasts(demo)
    rungs = [(mask, rung) for mask in demo.entries.masks for rung in demo.ladders.get(mask, ())]
    pooled = table[table["over"] != "one-wearer"].set_index("configuration")
    assert sorted(pooled.index) == sorted(rung.configuration for _, rung in rungs)
    assert len(table) == sum(1 + len(rung.comparison.wearers) for _, rung in rungs)
    for mask, rung in rungs:
        row = pooled.loc[rung.configuration]
        assert (row["mask"], row["verdict"]) == (mask, rung.comparison.verdict)
        assert row["ratio"] == rung.comparison.ratio or (np.isnan(row["ratio"]) and rung.comparison.ratio is None)


def test_a_ratio_on_one_wearer_is_that_of_the_geometric_means(demo: Dataset) -> None:
    table = contrasts(demo)
    exact = table[(table["over"] == "one-wearer") & (table["bound"] == "none")]
    assert len(exact) > 50
    row = exact.iloc[0]
    counted = demo.counted
    own = counted[(counted["wearer"] == row["wearer"]) & (counted["facial_hair"] == row["facial_hair"])]
    means = np.log(own["fit_factor"]).groupby(own["configuration"]).mean()
    assert row["ratio"] == pytest.approx(np.exp(means[row["configuration"]] - means[row["mask"]]))


def test_without_the_model_there_are_no_predictions(demo: Dataset) -> None:
    table = demo.table[demo.table["wearer"].isin(demo.table["wearer"].unique()[:3])]
    few = replace(demo, table=table, summary=summarise(table))
    assert few.model is None
    assert "predictions" not in [table.name for table in open_tables(few)]
    assert few.no_model is not None
    assert no_model_sentence(few.no_model) in unescape(data_page(few, Renderer(few)).html)


def test_downloads_come_out_the_same_twice(demo: Dataset) -> None:
    assert downloads(demo, ADDRESS) == downloads(demo, ADDRESS)


def test_each_table_is_there_with_licence_and_citation(demo: Dataset) -> None:
    assert {file.path for file in downloads(demo)} == {
        "data/tests.csv",
        *(f"data/{t}.{f}" for t in ("configurations", "wearing", "predictions") for f in FORMS),
        "data/contrasts.csv",
        *(f"data/{name}" for name in ("datapackage.json", "LICENSE", "CITATION.cff")),
    }


def test_the_licence_is_that_of_the_entries() -> None:
    assert licence_text() == (ROOT / "LICENSE-ENTRIES").read_text(encoding="utf-8")


# Citation File Format 1.2.0, by its JSON Schema; a title in quotation marks and a colon must survive YAML.
@pytest.mark.parametrize("newest", ["2026-09-12", ""])
def test_the_citation_file_follows_its_schema(tmp_path: Path, newest: str) -> None:
    path = tmp_path / "CITATION.cff"
    path.write_text(citation_file(About(3, newest, newest, True, ADDRESS)), encoding="utf-8")
    command = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", "vendor.citation-file-format"]
    command += ["--default-filetype", "yaml", str(path)]
    checked = subprocess.run(command, capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr
    assert "Invented demo data" in path.read_text(encoding="utf-8")


def test_one_line_to_cite_by_and_a_few_sentences_on_what_the_data_are() -> None:
    some, first = About(3, "2025-01-02", "2026-09-12", True, ADDRESS), About(1, "", "", False, "")
    name = "The Sealbook contributors. Sealbook: fit tests of masks on many faces."
    assert some.citation == f"{name} 3 tests, newest 2026-09-12. {ADDRESS}"
    assert first.citation == f"{name} 1 test."
    assert first.description == (
        "Fit factors of masks, as sold and with small changes, measured by people on their own faces: every test, the "
        "median and range of each configuration, and what each change did on the same wearers."
    )
    assert some.description == f"Invented demo data: masks, wearers and figures are made up. {first.description}"


def test_search_engines_find_every_file(demo: Dataset) -> None:
    """Of schema.org's Dataset, name, description and licence are what search engines for data ask for."""
    page = data_page(demo, Renderer(demo), ADDRESS).html
    found = re.findall(r'<script type="application/ld\+json">(.*?)</script>', page)
    entry = json.loads(found[0])
    assert entry["@type"] == "Dataset"
    assert entry["license"].startswith("https://creativecommons.org/publicdomain/zero/")
    assert 50 <= len(entry["description"]) <= 5000
    assert entry["temporalCoverage"] == f"{demo.table['date'].min()}/{demo.newest}"
    published = {f"{ADDRESS}{file.path}" for file in downloads(demo, ADDRESS)}
    links = {download["contentUrl"] for download in entry["distribution"]}
    assert len(links) == 8
    assert links <= published


def test_without_an_address_the_links_lead_beside_the_page(demo: Dataset) -> None:
    entry = catalogue_entry(About.of(demo), open_tables(demo))
    assert isinstance(entry["distribution"], list)
    assert entry["distribution"][0]["contentUrl"] == "tests.csv"
    assert "url" not in entry
    assert "feed.xml" not in data_page(demo, Renderer(demo)).html


def test_the_page_links_what_is_published(demo: Dataset) -> None:
    links = set(re.findall(r'href="([^"#]+)"', data_page(demo, Renderer(demo), ADDRESS).html))
    published = {f"../{file.path}" for file in downloads(demo, ADDRESS)} | {
        "../feed.xml",
        "../testers/",
    }
    assert links == published


def test_markup_cannot_end_the_script(demo: Dataset) -> None:
    hostile = "https://seals.example/</script><script>alert(1)</script>"
    page = data_page(demo, Renderer(demo), hostile).html
    assert page.count("</script") == 1
    assert isinstance(downloads(demo, hostile)[0], PublishedFile)
