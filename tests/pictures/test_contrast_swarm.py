"""Many ratios as a picture of one screen."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np

from builder.pictures.chart_frame import Tick
from builder.pictures.contrast_swarm import SwarmRow, contrast_swarm
from builder.pictures.forest import Ratio
from builder.pictures.svg import fluid

AXIS = (10.0, [Tick(1, "×1"), Tick(10, "×10")], "Ratio")


def rows(masks: int, each: int) -> list[SwarmRow]:
    values = np.exp(np.random.default_rng(5).normal(0.5, 0.6, (masks, each)))
    return [
        SwarmRow(
            f"mask {number}",
            f"{each} comparisons",
            tuple(Ratio("w", f"told {value:.2f}", float(value), None, None) for value in own),
            float(np.median(own)),
        )
        for number, own in enumerate(values)
    ]


def drawn(groups: list[SwarmRow], together: list[Ratio]) -> ElementTree.Element:
    return ElementTree.fromstring(fluid(contrast_swarm(groups, together, AXIS, ("Title", "About")), "key"))


def test_two_hundred_ratios_take_one_screen_and_each_is_a_dot_that_says_what_it_is() -> None:
    mean = Ratio("mean", "×1.6", 1.6, 1.2, 2.1, "mean")
    picture = drawn(rows(8, 25), [mean])
    assert len(list(picture.iter("circle"))) == 200
    assert float(picture.attrib["height"]) < 800
    assert sum(title.text.startswith("told ") for title in picture.iter("title") if title.text) == 200
    assert "mean" in [text.text for text in picture.iter("text")]


def test_a_limit_is_a_triangle_and_a_crowd_stays_in_its_row() -> None:
    (row,) = rows(1, 200)
    limit = Ratio("w", "at least", 2.0, 1.0, None, "at_least")
    picture = drawn([SwarmRow(row.label, row.figures, (*row.ratios, limit), row.middle)], [])
    assert len(list(picture.iter("polygon"))) == 1
    heights = [float(disc.attrib["cy"]) for disc in picture.iter("circle")]
    assert max(heights) - min(heights) <= 52
