"""The chart of a part holds every contrast that tells a ratio, still and as a figure."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from xml.etree import ElementTree

from builder.findings.dataset import Dataset
from builder.fit.compare.hack_effects import HackEffect
from builder.site.effects_charts import effects_figure, effects_picture
from builder.site.hack_pages import most_telling


def test_every_contrast_is_a_row(demo: Dataset) -> None:
    for effect in demo.hacks.values():
        if not effect.contrasts:
            continue
        ratios = [contrast for contrast in effect.contrasts if contrast.ratio is not None]
        figure = json.loads(effects_figure(demo, effect, most_telling(effect)))
        each, *together = figure["data"]
        assert len(each["x"]) == len(ratios)
        assert bool(together) == (effect.mean_ratio is not None)
        root = ElementTree.fromstring(effects_picture(demo, effect, most_telling(effect), "P"))
        assert len(list(root.iter("circle"))) == sum(contrast.bound == "none" for contrast in ratios)
        marks = sum(contrast.bound in {"at_least", "at_most"} for contrast in ratios) + bool(together)
        assert len(list(root.iter("svg"))) - 1 == marks
        assert float(root.attrib["height"]) == figure["layout"]["height"]


def test_the_mean_is_said_in_words(demo: Dataset) -> None:
    effect = next(effect for effect in demo.hacks.values() if effect.mean_ratio is not None)
    picture = effects_picture(demo, effect, most_telling(effect), "Foam <b>")
    assert '<title id="effect.title">Effect of Foam &lt;b&gt; by mask and wearer</title>' in picture
    assert re.search(
        r"<desc id=\"effect\.desc\">\d+ ratios of the fit factor with it to that without it, .*Mean ×", picture
    )


def test_without_a_ratio_there_is_no_picture(demo: Dataset) -> None:
    effect = next(effect for effect in demo.hacks.values() if effect.mean_ratio is None or effect.contrasts)
    bare = HackEffect(effect.part, effect.slot, (), 0, 0)
    assert effects_picture(demo, bare, [], "P") == ""


def test_whiskers_end_where_the_interval_does_and_limits_have_none_beyond(demo: Dataset) -> None:
    first = next(effect for effect in demo.hacks.values() if effect.contrasts).contrasts[0]
    contrasts = (
        replace(first, bound="none", ratio=2.0, low95=0.5, high95=8.0),
        replace(first, bound="at_most", ratio=0.25, low95=None, high95=1.0),
        replace(first, bound="at_least", ratio=4.0, low95=1.5, high95=None),
        replace(first, bound="both", ratio=None, low95=None, high95=None),
    )
    effect = HackEffect("a-part", "edge", contrasts, k=1, limits=3)
    (each,) = json.loads(effects_figure(demo, effect, contrasts))["data"]
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
        predict_new_mask_low95=0.25,
        predict_new_mask_high95=10.0,
    )
    (together,) = json.loads(effects_figure(demo, effect, ()))["data"]
    assert together["x"] == [2.0, 2.0, 2.0]
    assert together["error_x"]["array"] == [1.0, 6.0, 8.0]
    assert together["error_x"]["arrayminus"] == [0.5, 1.5, 1.75]
