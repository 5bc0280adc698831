"""The chart of a mask's donnings holds every test that counts, still and as a figure."""

from __future__ import annotations

import json
from xml.etree import ElementTree

import numpy as np

from builder.findings.dataset import Dataset
from builder.pictures.chart_frame import WIDTH
from builder.site.donnings_charts import donnings_figure, donnings_picture


def test_every_counted_donning_is_a_dot_of_the_figure(demo: Dataset) -> None:
    for mask, own in demo.table.groupby("mask"):
        medians, *wearers = json.loads(donnings_figure(demo, own))["data"]
        counted = own[own["counted"]]
        assert sum(len(trace["x"]) for trace in wearers) == len(counted), mask
        assert [trace["name"] for trace in wearers] == sorted(counted["wearer"].unique())
        assert len(medians["x"]) == counted["configuration"].nunique()


def test_every_counted_donning_is_a_mark_of_the_picture(demo: Dataset) -> None:
    for mask, own in demo.table.groupby("mask"):
        picture, left_out = donnings_picture(demo, own, "M")
        root = ElementTree.fromstring(picture)
        counted = own[own["counted"]]
        assert len(list(root.iter("circle"))) == int((~counted["at_least"]).sum()), mask
        assert len(list(root.iter("svg"))) - 1 == int(counted["at_least"].sum()), mask
        assert left_out == ""


def test_both_stand_in_the_same_places(demo: Dataset) -> None:
    mask = str(demo.table["mask"].value_counts().index[0])
    own = demo.table[demo.table["mask"] == mask]
    figure = json.loads(donnings_figure(demo, own))
    low, high = figure["layout"]["xaxis"]["domain"]
    top = figure["layout"]["xaxis"]["range"][1]
    drawn = {
        (round(100 * (low + (high - low) * np.log10(value) / top), 1), height)
        for trace in figure["data"][1:]
        for value, height, symbol in zip(trace["x"], trace["y"], trace["marker"]["symbol"], strict=True)
        if symbol == "circle"
    }
    root = ElementTree.fromstring(donnings_picture(demo, own, "M")[0])
    still = {(round(float(disc.attrib["cx"].rstrip("%")), 1), float(disc.attrib["cy"])) for disc in root.iter("circle")}
    # Places of the still picture are tenths of a pixel of the width it is laid out for.
    step = 100 / WIDTH / 10
    for x, y in drawn:
        assert any(abs(x - other_x) <= 0.1 + step and y == other_y for other_x, other_y in still), (x, y)
    assert figure["layout"]["height"] == float(root.attrib["height"])


def test_what_looks_like_markup_is_shown_as_it_is(demo: Dataset) -> None:
    own = demo.table[demo.table["mask"] == demo.table["mask"].iloc[0]].assign(wearer="<b>x</b>")
    trace = json.loads(donnings_figure(demo, own))["data"][1]
    assert "<b>x</b>" not in trace["customdata"][0] + trace["name"]
    assert "&lt;b&gt;x&lt;/b&gt;" in trace["customdata"][0]
    assert "<b>x</b>" not in donnings_picture(demo, own, "<b>x</b>")[0]


def test_a_mask_of_which_no_test_counts_has_no_picture(demo: Dataset) -> None:
    own = demo.table[demo.table["mask"] == demo.table["mask"].iloc[0]].assign(counted=False)
    assert donnings_picture(demo, own, "M") == ("", "")


def test_a_picture_is_light_and_the_same_each_time(demo: Dataset) -> None:
    for _, own in demo.table.groupby("mask"):
        picture, _ = donnings_picture(demo, own, "M")
        assert len(picture) < 20_000
        assert donnings_picture(demo, own, "M")[0] == picture
        assert donnings_figure(demo, own) == donnings_figure(demo, own)
