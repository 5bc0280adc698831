"""The chart of a mask's donnings: the still picture in its page, and what the script makes a figure of to look into."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from operator import attrgetter

import numpy as np
from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.findings.made_once import made_once
from builder.fit.levels import PASS_LEVEL
from builder.pictures import donnings
from builder.pictures.chart_frame import LEFT, RIGHT, Tick
from builder.pictures.donnings import DonningsChart
from builder.pictures.palette import Ink
from builder.pictures.scale import powers_of_ten
from builder.pictures.svg import fluid
from builder.records.spoken import SPOKEN
from builder.site.charts import domain, heights, layout_over, plain, scatter
from builder.site.published import coded, compact_json
from builder.site.row_strips import fit_top, strip_geometry
from builder.site.shown_tests import ShownTest, shown_by_mask
from builder.words.catalogue import count, say
from builder.words.chart_words import donnings_description, left_out, row_figures, wearer_donnings
from builder.words.labels import bridge_label, cell_label, change_label
from builder.words.numbers import figure, fit

_BAR = 1.4
"""How much longer Plotly draws an upright bar than the size it is given."""


@dataclass(frozen=True)
class Donnings:
    """A mask's donnings that count, by configuration, and the chart they are placed in."""

    own: list[tuple[str, list[ShownTest]]]
    chart: DonningsChart


def donnings_of_mask(data: Dataset, mask: str) -> Donnings | None:
    """Place the donnings of a mask, once for its page and for its file; None where no test of it counts."""
    if mask not in data.methods_by_mask:
        return None
    return _placed(data, mask, SPOKEN.get())


@made_once
def _placed(data: Dataset, mask: str, _: str) -> Donnings:
    tests = [test for test in shown_by_mask(data)[mask] if test.counted]
    own = [(configuration, list(group)) for configuration, group in groupby(tests, key=attrgetter("configuration"))]
    rows = [
        donnings.DonningsRow(
            _label(data, configuration),
            row_figures(data.summary_by_id[configuration]),
            tuple(donnings.DonningDot(test.fit_factor, test.wearer, test.at_least) for test in tests),
            data.summary_by_id[configuration]["median_fit_factor"],
            sold="+" not in configuration,
        )
        for configuration, tests in own
    ]
    top = fit_top(data)
    return Donnings(own, donnings.donnings_chart(rows, top, _ticks(top), PASS_LEVEL, say("compare.axis")))


def donnings_picture(data: Dataset, placed: Donnings, mask: str) -> tuple[Markup, str]:
    """Draw a mask's donnings, and say what the picture leaves out. `mask` is the mask's label."""
    chart = placed.chart
    rows = [(_label(data, configuration), data.summary_by_id[configuration]) for configuration, _ in placed.own]
    drawing = donnings.donnings_picture(
        chart, say("chart.donnings", mask=mask), donnings_description(rows), _said_of_wearers(data, placed)
    )
    return Markup(fluid(drawing, "donnings")), left_out(chart.crowded, chart.has_threads)


def _said_of_wearers(data: Dataset, placed: Donnings) -> dict[str, str]:
    """Say by wearer whose face it is, and every donning by configuration."""
    faces: dict[str, str] = {}
    readings: dict[str, list[tuple[str, list[str]]]] = {}
    for configuration, tests in placed.own:
        of_row: dict[str, list[str]] = {}
        for test in tests:
            faces.setdefault(test.wearer, _face_label(test))
            of_row.setdefault(test.wearer, []).append(fit(test.fit_factor, test.at_least))
        for wearer, figures in of_row.items():
            readings.setdefault(wearer, []).append((_label(data, configuration), figures))
    return {wearer: wearer_donnings(wearer, face, readings[wearer]) for wearer, face in faces.items()}


def donnings_data(data: Dataset, placed: Donnings) -> str:
    """Write what the script makes a figure of the same chart from: the medians as they are drawn, the dots in columns.

    What many dots say stands once: a row's change in `changes`, the other words as `coded` writes them.
    """
    own, chart = placed.own, placed.chart
    dots = [
        (test, row, height)
        for row, ((_, tests), of_row) in enumerate(zip(own, chart.rows, strict=True))
        for test, height in zip(tests, of_row.heights, strict=True)
    ]
    # By row, then by value: the line of a wearer runs through a row from its lowest donning to its highest.
    dots.sort(key=lambda dot: (dot[0].wearer, dot[1], dot[0].fit_factor, dot[0].test))
    xaxis = {"type": "log", "range": [0, float(np.log10(chart.scale.high))], "domain": domain(LEFT, RIGHT)}
    written = {
        "layout": layout_over((*chart.axis, *chart.words), chart.height, xaxis=xaxis, yaxis=heights(chart.height)),
        "medians": _medians(data, placed),
        "ids": [configuration for configuration, _ in own],
        "changes": [plain(_label(data, configuration)) for configuration, _ in own],
        "sold": ["+" not in configuration for configuration, _ in own],
        "size": 2 * donnings.DOT,
        "strip": strip_geometry(data),
        "dots": {
            "wearer": coded([plain(test.wearer) for test, _, _ in dots]),
            "face": coded([_face_label(test) for test, _, _ in dots]),
            "cell": coded([test.cell for test, _, _ in dots]),
            "bridge": coded([test.nose_bridge for test, _, _ in dots]),
            "date": coded([test.date for test, _, _ in dots]),
            "row": [row for _, row, _ in dots],
            "fit_factor": [test.fit_factor for test, _, _ in dots],
            "at_least": [int(test.at_least) for test, _, _ in dots],
            "height": [round(height, 1) for _, _, height in dots],
        },
    }
    return compact_json(written)


def _medians(data: Dataset, of_mask: Donnings) -> dict[str, object]:
    summary = [data.summary_by_id[configuration] for configuration, _ in of_mask.own]
    return scatter(
        x=[row["median_fit_factor"] for row in summary],
        y=[round(placed.middle, 1) for placed in of_mask.chart.rows],
        mode="markers",
        name="median",
        marker={
            "symbol": "line-ns-open",
            "size": [round(2 * placed.half / _BAR, 1) for placed in of_mask.chart.rows],
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


def _ticks(top: float) -> list[Tick]:
    """Label the powers of ten, and on a short axis what lies between them, but for what would run into its end."""
    powers = powers_of_ten(top)
    between = [digit * power for power in powers[:-1] for digit in (2, 5)] if len(powers) <= 5 else []
    values = sorted((*powers, *(value for value in between if value <= top / 5)))
    return [Tick(value, figure(value), value not in powers) for value in values]


def _face_label(test: ShownTest) -> str:
    return say("label.face", cell=cell_label(test.cell), bridge=bridge_label(test.nose_bridge))


def _label(data: Dataset, configuration: str) -> str:
    return change_label(data, configuration.partition("+")[2])
