"""Figures are ones that Plotly knows, over the very frame of their still pictures."""

from __future__ import annotations

import json
import re

import plotly.graph_objects as go

from builder.findings.dataset import Dataset
from builder.pictures.palette import Ink
from builder.pictures.shapes import Line, Shape, Text
from builder.site.charts import layout_over
from builder.site.kinds import published_files
from tests.conftest import unpacked

FIGURES = ("effects.json", "effects.packed", "reliability.json")
"""The browser makes that of a mask's donnings: `tests/browser/test_charts.py` holds it against Plotly too."""


def test_every_figure_is_one_that_plotly_knows(demo: Dataset) -> None:
    figures = [unpacked(file) for file in published_files(demo) if file.path.endswith(FIGURES)]
    assert len(figures) > 5
    for figure in figures:
        # Unknown or impossible properties raise ValueError.
        go.Figure(figure)


def test_colours_are_names_of_the_sites_own_and_the_template_is_left_out(demo: Dataset) -> None:
    for file in published_files(demo):
        if file.path.endswith((*FIGURES, "donnings.packed")):
            figure = unpacked(file)
            assert "template" not in figure["layout"]
            assert "rgb(" not in json.dumps(figure)
            assert not re.search(r"#[0-9a-f]{6}", json.dumps(figure))


def test_a_frame_is_laid_out_where_it_stands_in_the_still_picture() -> None:
    frame: list[Shape] = [
        Line((260, 0), (260, 100), Ink.PASS, 2, dash=3, css="c"),
        Text(520, 53.5, "<b> & c", 10, Ink.MUTED, "end", bold=True, halo=True),
    ]
    layout = layout_over(frame, 100, xaxis={"range": [0, 1]}, yaxis={})
    assert layout["height"] == 100
    assert layout["xaxis"] == {"visible": False, "range": [0, 1]}
    (line,), (text,) = layout["shapes"], layout["annotations"]
    assert (line["x0"], line["y0"], line["x1"], line["y1"], line["name"]) == (0.5, 1, 0.5, 0, "c")
    assert line["line"] == {"color": "var(--sb-pass)", "width": 2, "dash": "dot"}
    assert (text["x"], text["y"], text["xanchor"]) == (1, 0.5, "right")
    assert text["text"] == "<b>&lt;b&gt; &amp; c</b>"
    assert (text["font"], text["bgcolor"]) == ({"color": "var(--sb-muted)", "size": 10}, "var(--sb-paper)")
