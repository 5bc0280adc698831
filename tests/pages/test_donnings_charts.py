"""The chart of a mask's donnings holds every test that counts, still and as data for a figure."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pandas as pd

from builder.findings.dataset import Dataset
from builder.pictures.chart_frame import WIDTH
from builder.site.donnings_charts import Donnings, donnings_data, donnings_of_mask, donnings_picture
from builder.words.labels import bridge_label, cell_label, change_label
from builder.words.numbers import fit


def donnings(data: Dataset, mask: str) -> Donnings:
    found = donnings_of_mask(data, mask)
    assert found, mask
    return found


def rows(columns: dict[str, Any]) -> list[dict[str, Any]]:
    """The rows of published columns."""
    lists = {
        name: [column["words"][place] for place in column["at"]] if isinstance(column, dict) else column
        for name, column in columns.items()
    }
    return [dict(zip(lists, values, strict=True)) for values in zip(*lists.values(), strict=True)]


def changed(demo: Dataset, change: Any) -> Dataset:
    """The demo with some columns of the first mask's tests changed."""
    own = demo.table["mask"] == demo.table["mask"].iloc[0]
    table = pd.concat([demo.table[own].assign(**change), demo.table[~own]])
    return replace(demo, table=table)


def test_every_counted_donning_is_a_dot_of_the_figure_in_the_order_of_lines(demo: Dataset) -> None:
    for mask, own in demo.table[demo.table["counted"]].groupby("mask"):
        data = json.loads(donnings_data(demo, donnings(demo, str(mask))))
        configurations = sorted(own["configuration"].unique())
        assert len(data["medians"]["x"]) == len(data["changes"]) == len(configurations)
        assert data["sold"] == ["+" not in configuration for configuration in configurations]
        expected = own.assign(row=own["configuration"].map(configurations.index))
        expected = expected.sort_values(["wearer", "row", "fit_factor", "test"])
        dots = rows(data["dots"])
        for name in ("wearer", "row", "fit_factor", "at_least", "date"):
            assert [dot[name] for dot in dots] == expected[name].tolist(), (mask, name)


def test_a_dot_says_the_face(demo: Dataset) -> None:
    mask = str(demo.counted["mask"].iloc[0])
    dots = rows(json.loads(donnings_data(demo, donnings(demo, mask)))["dots"])
    faces = {dot["wearer"]: dot["face"] for dot in dots}
    face = demo.counted[demo.counted["mask"] == mask].iloc[0]
    assert str(face["cell"]) in faces[face["wearer"]]
    assert faces[face["wearer"]].endswith(f"{face['nose_bridge']} bridge")


def test_a_wearer_of_the_picture_says_face_and_every_donning(demo: Dataset) -> None:
    mask = str(demo.counted["mask"].iloc[0])
    own = demo.counted[demo.counted["mask"] == mask]
    root = ElementTree.fromstring(donnings_picture(demo, donnings(demo, mask), "M")[0])
    said = {
        one.attrib["data-wearer"]: one.findtext("title") or "" for one in root.iter("g") if "data-wearer" in one.attrib
    }
    assert sorted(said) == sorted(own["wearer"].unique())
    for wearer, of_wearer in own.groupby("wearer"):
        first = of_wearer.iloc[0]
        face = f"{cell_label(first['cell'])}, {bridge_label(first['nose_bridge'])}"
        assert said[str(wearer)].startswith(f"{wearer}, {face}. ")
        for parts, of_row in of_wearer.groupby("parts"):
            row = said[str(wearer)].partition(f"{change_label(demo, str(parts))}: ")[2].partition(";")[0]
            readings = [
                fit(value, limit) for value, limit in zip(of_row["fit_factor"], of_row["at_least"], strict=True)
            ]
            assert sorted(row.split(", ")) == sorted(readings)


def test_the_file_has_what_a_face_type_is_told_by(demo: Dataset) -> None:
    mask = str(demo.counted["mask"].iloc[0])
    own = demo.counted[demo.counted["mask"] == mask].sort_values(["wearer", "configuration", "fit_factor", "test"])
    data = json.loads(donnings_data(demo, donnings(demo, mask)))
    assert data["ids"] == sorted(own["configuration"].unique())
    dots = rows(data["dots"])
    assert [dot["cell"] for dot in dots] == own["cell"].tolist()
    assert [dot["bridge"] for dot in dots] == own["nose_bridge"].tolist()


def test_every_counted_donning_is_a_mark_of_the_picture(demo: Dataset) -> None:
    for mask, own in demo.counted.groupby("mask"):
        picture, left_out = donnings_picture(demo, donnings(demo, str(mask)), "M")
        root = ElementTree.fromstring(picture)
        assert len(list(root.iter("circle"))) == int((~own["at_least"]).sum()), mask
        assert len(list(root.iter("polygon"))) == int(own["at_least"].sum()), mask
        assert left_out == ""


def test_both_stand_in_the_same_places(demo: Dataset) -> None:
    placed = donnings(demo, str(demo.table["mask"].value_counts().index[0]))
    data = json.loads(donnings_data(demo, placed))
    low, high = data["layout"]["xaxis"]["domain"]
    top = data["layout"]["xaxis"]["range"][1]
    drawn = {
        (round(100 * (low + (high - low) * np.log10(dot["fit_factor"]) / top), 1), dot["height"])
        for dot in rows(data["dots"])
        if not dot["at_least"]
    }
    root = ElementTree.fromstring(donnings_picture(demo, placed, "M")[0])
    still = {(round(float(disc.attrib["cx"].rstrip("%")), 1), float(disc.attrib["cy"])) for disc in root.iter("circle")}
    # Places of the still picture are tenths of a pixel of the width it is laid out for.
    step = 100 / WIDTH / 10
    for x, y in drawn:
        assert any(abs(x - other_x) <= 0.1 + step and y == other_y for other_x, other_y in still), (x, y)
    assert data["layout"]["height"] == float(root.attrib["height"])


def test_what_looks_like_markup_is_shown_as_it_is(demo: Dataset) -> None:
    hostile = changed(demo, {"wearer": "<b>x</b>"})
    placed = donnings(hostile, str(demo.table["mask"].iloc[0]))
    data = json.loads(donnings_data(hostile, placed))
    assert data["dots"]["wearer"]["words"] == ["&lt;b&gt;x&lt;/b&gt;"]
    assert "<b>x</b>" not in donnings_picture(hostile, placed, "<b>x</b>")[0]


def test_a_mask_of_which_no_test_counts_has_no_chart(demo: Dataset) -> None:
    mask = str(demo.table["mask"].iloc[0])
    assert donnings_of_mask(demo, mask)
    assert donnings_of_mask(changed(demo, {"counted": False}), mask) is None


def test_a_picture_and_its_data_are_light_and_the_same_each_time(demo: Dataset) -> None:
    again = replace(demo)
    for mask in demo.methods_by_mask:
        placed = donnings(demo, mask)
        picture, data = donnings_picture(demo, placed, "M")[0], donnings_data(demo, placed)
        assert len(picture) < 24_000  # with every wearer's donnings in words
        assert len(data) < 20_000
        assert donnings_picture(again, donnings(again, mask), "M")[0] == picture
        assert donnings_data(again, donnings(again, mask)) == data
