"""The chart of how often predictions came true: the still picture in its page, and the figure to look into."""

from __future__ import annotations

import pandas as pd
from markupsafe import Markup

from builder.fit.levels import PREDICTED_LEVEL
from builder.fit.summary.shares import wilson
from builder.pictures import reliability
from builder.pictures.palette import Ink
from builder.pictures.reliability import Came, reliability_frame, reliability_picture
from builder.pictures.shapes import Shape
from builder.pictures.svg import fluid
from builder.site.charts import domain, figure_json, layout_over, scatter, whiskers
from builder.words.catalogue import count, say


def calibration_picture(bins: pd.DataFrame) -> Markup:
    """Draw the `reliability` table of a validation: a dot a tenth of the scale, larger for more tests."""
    groups = _groups(bins)
    description = say("chart.reliability_about", tests=count("test", sum(came.n for came in groups)))
    drawing = reliability_picture(groups, _frame(), say("chart.reliability"), description)
    return Markup(fluid(drawing, "reliability"))


def calibration_figure(bins: pd.DataFrame) -> str:
    """Make the same picture a figure."""
    groups = _groups(bins)
    shares = [came.share for came in groups]
    dots = scatter(
        x=[came.predicted for came in groups],
        y=shares,
        mode="markers",
        cliponaxis=False,
        marker={
            "color": Ink.CHANGED.variable,
            "size": [2 * came.radius for came in groups],
            "opacity": 1,
            "line": {"color": Ink.PAPER.variable, "width": 1},
        },
        error_y=whiskers(shares, [came.low for came in groups], [came.high for came in groups], Ink.CHANGED.variable),
        customdata=[
            f"predicted {came.predicted:.0%}, came true {came.share:.0%}<br>{count('test', came.n)}" for came in groups
        ],
    )
    height = reliability.HEIGHT
    axis = {"range": [0, 1]}
    across = {**axis, "domain": domain(reliability.LEFT, reliability.RIGHT)}
    up = {**axis, "domain": [round(1 - y / height, 4) for y in (reliability.BOTTOM, reliability.TOP)]}
    return figure_json([dots], layout_over(_frame(), height, xaxis=across, yaxis=up))


def _frame() -> tuple[Shape, ...]:
    return reliability_frame(say("chart.predicted"), say("chart.came_true"))


def _groups(bins: pd.DataFrame) -> list[Came]:
    hits = (bins["came_true"] * bins["n"]).round().to_numpy(int).tolist()
    intervals = [wilson(k, n, PREDICTED_LEVEL) for k, n in zip(hits, bins["n"].tolist(), strict=True)]
    columns = (bins[name].tolist() for name in ("predicted", "came_true", "n"))
    return [
        Came(predicted, share, interval.low, interval.high, n)
        for predicted, share, n, interval in zip(*columns, intervals, strict=True)
    ]
