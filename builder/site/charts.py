"""Charts as Plotly figures in JSON. Colours are names of the site's own; the browser fills them in, light or dark."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any

import numpy as np
import pandas as pd
from plotly.io import to_json

from builder.findings.dataset import Dataset, Row, rows_of
from builder.fit.compare.hack_effects import HackContrast, HackEffect
from builder.fit.levels import PASS_LEVEL, PREDICTED_LEVEL
from builder.fit.summary.shares import wilson
from builder.words.catalogue import count
from builder.words.effects import ratio_text
from builder.words.labels import bridge_label, cell_label, change_label, mask_label
from builder.words.numbers import between, fit, times

SOLD = "var(--sb-sold)"
CHANGED = "var(--sb-changed)"
THREAD = "var(--sb-thread)"
PASS = "var(--sb-pass)"
INK = "var(--sb-ink)"

TICKS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 100_000, 1_000_000, 10_000_000)
LIMIT_SYMBOLS = {"at_least": "triangle-right", "at_most": "triangle-left"}
RATIO_TICKS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100)
ROW_PX = 52
SPREAD = 0.56
"""Height of a row's band of dots, as a share of the row."""


def figure_json(traces: list[dict[str, Any]], layout: dict[str, Any]) -> str:
    """Write a figure in Plotly's own JSON, as it stands: a template and its checks would cost more than all the rest.

    The tests hold every figure of the demo site against Plotly's schema instead.
    """
    return str(to_json({"data": traces, "layout": layout}, validate=False))


def scatter(**properties: object) -> dict[str, Any]:
    """Give a trace of dots whose words on hovering are its `customdata`."""
    return {"type": "scatter", "hovertemplate": "%{customdata}<extra></extra>", **properties}


def donnings_chart(data: Dataset, tests: pd.DataFrame) -> str:
    """Draw every donning of a mask that counts: a row a configuration, one wearer's donnings joined, the median.

    `tests` holds the mask's rows of the tidy table.
    """
    rows = [row for row in rows_of(tests) if row["counted"]]
    rows.sort(key=itemgetter("wearer", "configuration", "date", "test"))
    order = {c: i for i, c in enumerate(sorted({row["configuration"] for row in rows}))}
    by_wearer = [(wearer, list(own)) for wearer, own in groupby(rows, key=itemgetter("wearer"))]
    traces = []
    for rank, (wearer, own) in enumerate(by_wearer):
        # A wearer keeps the same height in every row, so that the lines between rows do not cross for nothing.
        offset = SPREAD * ((rank + 0.5) / len(by_wearer) - 0.5)
        trace = scatter(
            x=[row["fit_factor"] for row in own],
            y=[round(order[row["configuration"]] + offset, 3) for row in own],
            mode="lines+markers",
            name=wearer,
            line={"color": THREAD, "width": 1},
            marker={
                "color": [CHANGED if row["parts"] else SOLD for row in own],
                "symbol": ["triangle-right" if row["at_least"] else "circle" for row in own],
                "size": 8,
                "opacity": 0.85,
            },
            customdata=[_hover(data, row) for row in own],
        )
        traces.append(trace)
    summary = [data.summary_by_id[configuration] for configuration in order]
    medians = scatter(
        x=[row["median_fit_factor"] for row in summary],
        y=list(range(len(order))),
        mode="markers",
        name="median",
        marker={"symbol": "line-ns-open", "size": 26, "color": INK, "line": {"width": 3, "color": INK}},
        customdata=[
            f"median {fit(row['median_fit_factor'], row['median_at_least'])}<br>"
            f"{count('test', row['tests'])}, {count('wearer', row['wearers'])}"
            for row in summary
        ],
    )
    labels = [_plain(change_label(data, c.partition("+")[2])).replace(" + ", "<br>+ ") for c in order]
    top = data.scale.top
    xaxis = {
        "range": [-0.05, float(np.log10(top))],
        "tickvals": [tick for tick in TICKS if tick <= top],
        "title": {"text": "Fit factor (log scale)"},
    }
    height = 70 + ROW_PX * max(len(order), 1)
    layout = _layout(
        rows=len(order) - 0.45, labels=labels, at=list(range(len(order))), xaxis=xaxis, line=PASS_LEVEL, height=height
    )
    return figure_json([*traces, medians], layout)


def effects_chart(data: Dataset, effect: HackEffect, shown: Iterable[HackContrast]) -> str:
    """Draw what a part did: a row for each contrast shown with its 95 % interval, the mean of all and the new face."""
    contrasts = [c for c in shown if c.ratio is not None]
    names = [_plain(f"{mask_label(data.entries.masks[c.mask].mask)}, {c.wearer}") for c in contrasts]
    each = scatter(
        x=[c.ratio for c in contrasts],
        y=list(range(len(contrasts))),
        mode="markers",
        marker={
            "color": CHANGED,
            "size": 9,
            "symbol": [LIMIT_SYMBOLS.get(c.bound, "circle") for c in contrasts],
        },
        error_x=_whiskers(
            [c.ratio for c in contrasts], [c.low95 for c in contrasts], [c.high95 for c in contrasts], CHANGED
        ),
        customdata=[f"<b>{name}</b><br>{_plain(ratio_text(c))}" for name, c in zip(names, contrasts, strict=True)],
    )
    traces = [each]
    if effect.mean_ratio is not None:
        names += ["<b>mean</b>", "<b>on a new face</b>"]
        ratio, rows = effect.mean_ratio, [len(contrasts) + 0.4, len(contrasts) + 1.4]
        together = scatter(
            x=[ratio, ratio],
            y=rows,
            mode="markers",
            marker={"color": INK, "size": [11, 1], "symbol": "diamond"},
            error_x=_whiskers(
                [ratio, ratio],
                [effect.low95, effect.predict_low95],
                [effect.high95, effect.predict_high95],
                INK,
            ),
            customdata=[
                f"<b>mean</b><br>{times(ratio)} [{between(effect.low95, effect.high95)}]",
                f"<b>on a new face</b><br>{between(effect.predict_low95, effect.predict_high95)}",
            ],
        )
        traces.append(together)
    at = [i if i < len(contrasts) else i + 0.4 for i in range(len(names))]
    xaxis = {
        "tickvals": list(RATIO_TICKS),
        "ticktext": [times(tick) for tick in RATIO_TICKS],
        "range": _ratio_range(effect),
        "title": {"text": "Fit factor with it ÷ without it (log scale)"},
    }
    layout = _layout(
        rows=len(names) - 0.2, labels=names, at=at, xaxis=xaxis, line=1.0, height=90 + 26 * max(len(names), 2)
    )
    return figure_json(traces, layout)


def reliability_chart(bins: pd.DataFrame) -> str:
    """Draw how often predictions came true: a dot a tenth of the scale, larger for more tests, and where it should be.

    `bins` is the `reliability` table of a validation.
    """
    hits = (bins["came_true"] * bins["n"]).round().to_numpy(int)
    intervals = [wilson(k, n, PREDICTED_LEVEL) for k, n in zip(hits, bins["n"].to_numpy(int), strict=True)]
    shares, predicted = bins["came_true"].tolist(), bins["predicted"].tolist()
    dots = scatter(
        x=predicted,
        y=shares,
        mode="markers",
        marker={"color": CHANGED, "size": (4 + np.sqrt(bins["n"])).round(1).tolist()},
        error_y=_whiskers(shares, [i.low for i in intervals], [i.high for i in intervals], CHANGED),
        customdata=[
            f"predicted {p:.0%}, came true {share:.0%}<br>{count('test', n)}"
            for p, share, n in zip(predicted, shares, bins["n"], strict=True)
        ],
    )
    axis = {"range": [0, 1.03], "dtick": 0.2, "tickformat": ".0%"}
    layout = {
        "height": 380,
        "showlegend": False,
        "hovermode": "closest",
        "margin": {"l": 60, "r": 12, "t": 8, "b": 48},
        "xaxis": {**axis, "title": {"text": "Chance predicted"}},
        "yaxis": {**axis, "title": {"text": "Share that passed"}},
        "shapes": [
            {
                "type": "line",
                "x0": 0,
                "y0": 0,
                "x1": 1,
                "y1": 1,
                "line": {"color": PASS, "width": 2, "dash": "dot"},
                "layer": "below",
            }
        ],
    }
    return figure_json([dots], layout)


def _layout(
    *, rows: float, labels: list[str], at: list[float], xaxis: dict[str, Any], line: float, height: int
) -> dict[str, Any]:
    """Lay out a chart with a labelled row for each thing, from the top, and a line that stands upright in all."""
    return {
        "height": height,
        "showlegend": False,
        "hovermode": "closest",
        "margin": {"l": 10, "r": 12, "t": 8, "b": 44},
        "xaxis": {"type": "log", **xaxis},
        "yaxis": {
            "range": [rows, -0.6],
            "tickvals": at,
            "ticktext": labels,
            "automargin": True,
            "zeroline": False,
            "showgrid": False,
        },
        "shapes": [
            {
                "type": "line",
                "x0": line,
                "x1": line,
                "yref": "paper",
                "y0": 0,
                "y1": 1,
                "line": {"color": PASS, "width": 2, "dash": "dot"},
                "layer": "below",
            }
        ],
    }


def _whiskers(
    ratios: Sequence[float | None], lows: Sequence[float | None], highs: Sequence[float | None], colour: str
) -> dict[str, object]:
    """Give error bars from limits; a limit that does not exist has no bar."""
    pairs = list(zip(ratios, lows, highs, strict=True))
    return {
        "type": "data",
        "symmetric": False,
        "array": [0.0 if high is None or ratio is None else high - ratio for ratio, _, high in pairs],
        "arrayminus": [0.0 if low is None or ratio is None else ratio - low for ratio, low, _ in pairs],
        "color": colour,
        "thickness": 2,
        "width": 0,
    }


def _ratio_range(effect: HackEffect) -> list[float]:
    """Give the axis in powers of ten: wide enough for every value and the mean, whiskers may leave it."""
    ends = [effect.predict_low95 or 1.0, effect.predict_high95 or 1.0]
    values = np.array([c.ratio for c in effect.contrasts if c.ratio] + ends)
    reach = min(2.0, max(0.7, float(np.abs(np.log10(values)).max()) + 0.1))
    return [-reach, reach]


def _hover(data: Dataset, row: Row) -> str:
    face = f"{cell_label(str(row['cell']))}, {bridge_label(str(row['nose_bridge']))}"
    change = _plain(change_label(data, str(row["parts"])))
    wearer = _plain(str(row["wearer"]))
    return f"<b>{fit(row['fit_factor'], row['at_least'])}</b> {change}<br>{wearer}, {row['date']}<br>{face}"


def _plain(text: str) -> str:
    """Take the meaning from what Plotly reads as markup."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
