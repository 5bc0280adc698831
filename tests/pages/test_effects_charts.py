"""The chart of a part holds every contrast that tells a ratio, still and as a figure."""

from __future__ import annotations

import json
import re
from xml.etree import ElementTree

from builder.findings.dataset import Dataset
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
    bare = type(effect)(effect.part, effect.slot, (), 0, 0)
    assert effects_picture(demo, bare, [], "P") == ""
