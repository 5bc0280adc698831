"""The chart of a mask's donnings holds every test that counts."""

from __future__ import annotations

import json

from builder.site.charts import donnings_chart
from builder.site.dataset import Dataset


def test_every_counted_donning_is_a_dot(demo: Dataset) -> None:
    for mask, own in demo.table.groupby("mask"):
        figure = json.loads(donnings_chart(demo, own))
        *wearers, medians = figure["data"]
        counted = own[own["counted"]]
        assert sum(len(trace["x"]) for trace in wearers) == len(counted), mask
        assert [trace["name"] for trace in wearers] == sorted(counted["wearer"].unique())
        assert len(medians["x"]) == counted["configuration"].nunique()


def test_colours_are_names_of_the_sites_own_and_the_template_is_left_out(demo: Dataset) -> None:
    text = donnings_chart(demo, demo.table[demo.table["mask"] == demo.table["mask"].iloc[0]])
    figure = json.loads(text)
    assert "template" not in figure["layout"]
    assert "rgb(" not in text
    assert "#" not in text


def test_what_looks_like_markup_is_shown_as_it_is(demo: Dataset) -> None:
    own = demo.table[demo.table["mask"] == demo.table["mask"].iloc[0]].assign(wearer="<b>x</b>")
    hover = json.loads(donnings_chart(demo, own))["data"][0]["customdata"][0]
    assert "<b>x</b>" not in hover
    assert "&lt;b&gt;x&lt;/b&gt;" in hover
