"""The chart of a mask's donnings holds every test that counts."""

from __future__ import annotations

import json

import plotly.graph_objects as go

from builder.findings.dataset import Dataset
from builder.site.charts import donnings_chart, effects_chart
from builder.site.hack_pages import most_telling
from builder.site.kinds import published_files


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


def test_every_figure_is_one_that_plotly_knows(demo: Dataset) -> None:
    texts = [file.content for file in published_files(demo) if file.path.endswith(("donnings.json", "effects.json"))]
    assert len(texts) > len(demo.entries.masks)
    for text in texts:
        # Unknown or impossible properties raise ValueError.
        go.Figure(json.loads(text))


def test_the_chart_of_a_part_holds_every_contrast(demo: Dataset) -> None:
    for effect in demo.hacks.values():
        if effect.contrasts:
            each, *together = json.loads(effects_chart(demo, effect, most_telling(effect)))["data"]
            assert len(each["x"]) == sum(c.ratio is not None for c in effect.contrasts)
            assert bool(together) == (effect.mean_ratio is not None)


def test_what_looks_like_markup_is_shown_as_it_is(demo: Dataset) -> None:
    own = demo.table[demo.table["mask"] == demo.table["mask"].iloc[0]].assign(wearer="<b>x</b>")
    hover = json.loads(donnings_chart(demo, own))["data"][0]["customdata"][0]
    assert "<b>x</b>" not in hover
    assert "&lt;b&gt;x&lt;/b&gt;" in hover
