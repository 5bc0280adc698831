"""The chart of a mask's donnings holds every test that counts."""

from __future__ import annotations

import json
from dataclasses import replace

import plotly.graph_objects as go

from builder.findings.dataset import Dataset
from builder.fit.compare.hack_effects import HackEffect
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


def test_whiskers_end_where_the_interval_does_and_limits_have_none_beyond(demo: Dataset) -> None:
    first = next(effect for effect in demo.hacks.values() if effect.contrasts).contrasts[0]
    contrasts = (
        replace(first, bound="none", ratio=2.0, low95=0.5, high95=8.0),
        replace(first, bound="at_most", ratio=0.25, low95=None, high95=1.0),
        replace(first, bound="at_least", ratio=4.0, low95=1.5, high95=None),
        replace(first, bound="both", ratio=None, low95=None, high95=None),
    )
    effect = HackEffect("a-part", "edge", contrasts, k=1, limits=3)
    (each,) = json.loads(effects_chart(demo, effect, contrasts))["data"]
    assert each["x"] == [2.0, 0.25, 4.0]
    assert each["error_x"]["symmetric"] is False
    assert each["error_x"]["array"] == [6.0, 0.75, 0.0]
    assert each["error_x"]["arrayminus"] == [1.5, 0.0, 2.5]
    assert each["marker"]["symbol"] == ["circle", "triangle-left", "triangle-right"]


def test_the_mean_and_a_new_face_have_the_whiskers_of_their_intervals(demo: Dataset) -> None:
    effect = replace(
        next(effect for effect in demo.hacks.values() if effect.mean_ratio is not None),
        mean_ratio=2.0,
        low95=1.5,
        high95=3.0,
        predict_low95=0.5,
        predict_high95=8.0,
    )
    _, together = json.loads(effects_chart(demo, effect, ()))["data"]
    assert together["x"] == [2.0, 2.0]
    assert together["error_x"]["array"] == [1.0, 6.0]
    assert together["error_x"]["arrayminus"] == [0.5, 1.5]


def test_what_looks_like_markup_is_shown_as_it_is(demo: Dataset) -> None:
    own = demo.table[demo.table["mask"] == demo.table["mask"].iloc[0]].assign(wearer="<b>x</b>")
    hover = json.loads(donnings_chart(demo, own))["data"][0]["customdata"][0]
    assert "<b>x</b>" not in hover
    assert "&lt;b&gt;x&lt;/b&gt;" in hover
