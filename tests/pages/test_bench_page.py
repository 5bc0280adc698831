"""What the bench page is told of the database, and how one state of the data is told from another."""

from __future__ import annotations

import json
from dataclasses import replace

from builder.findings.dataset import Dataset
from builder.fit.compare.nested_scatter import WearerScatter
from builder.records.entry_keys import fields_of
from builder.records.models import Test
from builder.site.bench_page import bench_data, bench_files


def test_the_scatter_is_that_of_the_comparisons(demo: Dataset) -> None:
    known = bench_data(demo)
    assert known["stranger"] == {"variance": demo.scatter.stranger.variance, "df": demo.scatter.stranger.df}
    assert known["wearers"].keys() == demo.scatter.wearers.keys()
    assert known["scatter"]["arm_df"] == demo.scatter.arm_df


def test_parts_come_with_what_to_beware_of_and_whether_they_come_off(demo: Dataset) -> None:
    known = bench_data(demo)
    parts = {name: record.part for name, record in demo.entries.parts.items()}
    assert known["lasting"] == sorted(name for name, part in parts.items() if not part.can_be_undone)
    assert known["cautions"] == {name: list(part.cautions) for name, part in sorted(parts.items()) if part.cautions}


def test_a_table_has_the_columns_of_add(demo: Dataset) -> None:
    columns = dict(bench_data(demo)["columns"])
    assert list(columns) == [field.name for field in fields_of(Test)]
    assert columns["wearer"] == "face.wearer"


def test_the_digest_is_of_the_data_alone(demo: Dataset) -> None:
    (file,) = bench_files(demo)
    (again,) = bench_files(demo)
    assert file == again
    scatter = replace(demo.scatter, stranger=WearerScatter(1.0, 2.0))
    other = replace(demo)
    other.__dict__["scatter"] = scatter
    (moved,) = bench_files(other)
    assert json.loads(moved.content)["digest"] != json.loads(file.content)["digest"]
