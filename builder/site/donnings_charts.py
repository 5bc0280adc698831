"""The chart of a mask's donnings: the still picture in its page, and the figure that a reader can look into."""

from __future__ import annotations

from itertools import groupby
from operator import itemgetter

import numpy as np
import pandas as pd
from markupsafe import Markup

from builder.findings.dataset import Dataset, Row, rows_of
from builder.fit.levels import PASS_LEVEL
from builder.pictures import donnings
from builder.pictures.chart_frame import LEFT, RIGHT, Tick
from builder.pictures.donnings import DonningsChart
from builder.pictures.palette import Ink
from builder.pictures.scale import powers_of_ten
from builder.pictures.svg import fluid
from builder.site.charts import domain, figure_json, heights, layout_over, plain, scatter
from builder.site.row_strips import fit_top
from builder.words.catalogue import count, say
from builder.words.chart_words import donnings_description, left_out, row_figures
from builder.words.labels import bridge_label, cell_label, change_label
from builder.words.numbers import figure, fit

_TRIANGLE = 12
_BAR = 1.4
"""How much longer Plotly draws an upright bar than the size it is given."""


def donnings_picture(data: Dataset, tests: pd.DataFrame, mask: str) -> tuple[Markup, str]:
    """Draw every donning of a mask that counts, and say what the picture leaves out; nothing where none counts.

    `tests` holds the mask's rows of the tidy table, `mask` is its label.
    """
    own = _by_configuration(tests)
    if not own:
        return Markup(""), ""
    chart = _chart(data, own)
    rows = [(_label(data, configuration), data.summary_by_id[configuration]) for configuration, _ in own]
    drawing = donnings.donnings_picture(chart, say("chart.donnings", mask=mask), donnings_description(rows))
    return Markup(fluid(drawing, "donnings")), left_out(chart.crowded, chart.has_threads)


def donnings_figure(data: Dataset, tests: pd.DataFrame) -> str:
    """Make the same picture a figure: a trace a wearer, and the medians."""
    own = _by_configuration(tests)
    chart = _chart(data, own)
    dots = [
        (row["wearer"], row["fit_factor"], height, row)
        for (_, rows), placed in zip(own, chart.rows, strict=True)
        for row, height in zip(rows, placed.heights, strict=True)
    ]
    # By row, then by value: the line of a wearer runs through a row from its lowest donning to its highest.
    row_of = {configuration: place for place, (configuration, _) in enumerate(own)}
    dots.sort(key=lambda dot: (dot[0], row_of[dot[3]["configuration"]], dot[1], dot[3]["test"]))
    traces = []
    for wearer, of_wearer in groupby(dots, key=itemgetter(0)):
        shown = list(of_wearer)
        trace = scatter(
            x=[value for _, value, _, _ in shown],
            y=[round(height, 1) for _, _, height, _ in shown],
            mode="lines+markers",
            cliponaxis=False,
            name=plain(wearer),
            line={"color": Ink.THREAD.variable, "width": 1},
            marker={
                "color": [(Ink.CHANGED if row["parts"] else Ink.SOLD).variable for *_, row in shown],
                "symbol": ["triangle-right" if row["at_least"] else "circle" for *_, row in shown],
                "size": [_TRIANGLE if row["at_least"] else 2 * donnings.DOT for *_, row in shown],
                "opacity": 1,
                "line": {"color": Ink.PAPER.variable, "width": 1},
            },
            customdata=[_hover(data, row) for *_, row in shown],
        )
        traces.append(trace)
    summary = [data.summary_by_id[configuration] for configuration, _ in own]
    medians = scatter(
        x=[row["median_fit_factor"] for row in summary],
        y=[round(placed.middle, 1) for placed in chart.rows],
        mode="markers",
        name="median",
        marker={
            "symbol": "line-ns-open",
            "size": [round(2 * placed.half / _BAR, 1) for placed in chart.rows],
            "color": Ink.INK.variable,
            "opacity": 1,
            "line": {"width": 3, "color": Ink.INK.variable},
        },
        customdata=[
            f"median {fit(row['median_fit_factor'], row['median_at_least'])}<br>"
            f"{count('test', row['tests'])}, {count('wearer', row['wearers'])}"
            for row in summary
        ],
    )
    xaxis = {"type": "log", "range": [0, float(np.log10(chart.scale.high))], "domain": domain(LEFT, RIGHT)}
    layout = layout_over((*chart.axis, *chart.words), chart.height, xaxis=xaxis, yaxis=heights(chart.height))
    # The dots above the medians, as in the still picture.
    return figure_json([medians, *traces], layout)


def _by_configuration(tests: pd.DataFrame) -> list[tuple[str, list[Row]]]:
    rows = [row for row in rows_of(tests) if row["counted"]]
    rows.sort(key=itemgetter("configuration", "wearer", "date", "test"))
    return [(configuration, list(own)) for configuration, own in groupby(rows, key=itemgetter("configuration"))]


def _chart(data: Dataset, own: list[tuple[str, list[Row]]]) -> DonningsChart:
    rows = [
        donnings.Row(
            _label(data, configuration),
            row_figures(data.summary_by_id[configuration]),
            tuple(donnings.Donning(row["fit_factor"], row["wearer"], row["at_least"]) for row in rows),
            data.summary_by_id[configuration]["median_fit_factor"],
            sold="+" not in configuration,
        )
        for configuration, rows in own
    ]
    top = fit_top(data)
    return donnings.donnings_chart(rows, top, _ticks(top), PASS_LEVEL, say("compare.axis"))


def _ticks(top: float) -> list[Tick]:
    """Label the powers of ten, and on a short axis what lies between them, but for what would run into its end."""
    powers = powers_of_ten(top)
    between = [digit * power for power in powers[:-1] for digit in (2, 5)] if len(powers) <= 5 else []
    values = sorted((*powers, *(value for value in between if value <= top / 5)))
    return [Tick(value, figure(value), value not in powers) for value in values]


def _label(data: Dataset, configuration: str) -> str:
    return change_label(data, configuration.partition("+")[2])


def _hover(data: Dataset, row: Row) -> str:
    face = f"{cell_label(str(row['cell']))}, {bridge_label(str(row['nose_bridge']))}"
    change = plain(change_label(data, str(row["parts"])))
    wearer = plain(str(row["wearer"]))
    return f"<b>{fit(row['fit_factor'], row['at_least'])}</b> {change}<br>{wearer}, {row['date']}<br>{face}"
