"""Charts as Plotly figures in JSON, laid out as their still pictures are.

Colours are names of the site's own; the browser fills them in, light or dark.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from plotly.io import to_json

from builder.pictures.chart_frame import WIDTH
from builder.pictures.shapes import Line, Shape, Text

LIMIT_SYMBOLS = {"at_least": "triangle-right", "at_most": "triangle-left"}
_ANCHORS = {"start": "left", "middle": "center", "end": "right"}


def figure_json(traces: list[dict[str, Any]], layout: dict[str, Any]) -> str:
    """Write a figure in Plotly's own JSON, as it stands: a template and its checks would cost more than all the rest.

    The tests hold every figure of the demo site against Plotly's schema instead.
    """
    return str(to_json({"data": traces, "layout": layout}, validate=False))


def scatter(**properties: object) -> dict[str, Any]:
    """Give a trace of dots whose words on hovering are its `customdata`."""
    return {"type": "scatter", "hovertemplate": "%{customdata}<extra></extra>", **properties}


def layout_over(frame: Iterable[Shape], height: int, *, xaxis: dict[str, Any], yaxis: dict[str, Any]) -> dict[str, Any]:
    """Lay a figure out over the lines and texts of a still picture, each where it stands there."""
    shapes = list(frame)
    return {
        "height": height,
        "showlegend": False,
        "hovermode": "closest",
        "margin": {"l": 0, "r": 0, "t": 0, "b": 0},
        "xaxis": {"visible": False, **xaxis},
        "yaxis": {"visible": False, **yaxis},
        "shapes": [_line(shape, height) for shape in shapes if isinstance(shape, Line)],
        "annotations": [_text(shape, height) for shape in shapes if isinstance(shape, Text)],
    }


def heights(height: int) -> dict[str, Any]:
    """Give an upright axis whose values are the places of the still picture."""
    return {"range": [height, 0]}


def domain(left: float, right: float) -> list[float]:
    """Give the part of a figure's width that its level axis takes, from places of the still picture."""
    return [round(left / WIDTH, 4), round(right / WIDTH, 4)]


def whiskers(
    values: Sequence[float | None], lows: Sequence[float | None], highs: Sequence[float | None], colour: str
) -> dict[str, object]:
    """Give error bars from limits; a limit that does not exist has no bar."""
    limits = list(zip(values, lows, highs, strict=True))
    return {
        "type": "data",
        "symmetric": False,
        "array": [0.0 if high is None or value is None else high - value for value, _, high in limits],
        "arrayminus": [0.0 if low is None or value is None else value - low for value, low, _ in limits],
        "color": colour,
        "thickness": 2,
        "width": 0,
    }


def plain(text: str) -> str:
    """Take the meaning from what Plotly reads as markup."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _line(line: Line, height: int) -> dict[str, Any]:
    ends = {
        f"{axis}{number}": place
        for number, end in enumerate((line.start, line.end))
        for axis, place in zip("xy", _place(*end, height), strict=True)
    }
    look = {"color": line.ink.variable, "width": line.width, "dash": "dot" if line.dash else "solid"}
    name = {"name": line.css} if line.css else {}
    return {"type": "line", "layer": "below", "xref": "paper", "yref": "paper", **name, **ends, "line": look}


def _text(text: Text, height: int) -> dict[str, Any]:
    # Letters reach about as far up from the middle as they do down: a third of their size above the line they stand on.
    x, y = _place(text.x, text.y - text.size * 0.35, height)
    written = plain(text.text)
    return {
        "text": f"<b>{written}</b>" if text.bold else written,
        "font": {"color": text.ink.variable, "size": text.size},
        "showarrow": False,
        "borderpad": 0,
        "xref": "paper",
        "yref": "paper",
        "x": x,
        "y": y,
        "xanchor": _ANCHORS[text.anchor],
        "yanchor": "middle",
        **({"bgcolor": "var(--sb-paper)"} if text.halo else {}),
        **({"name": text.css} if text.css else {}),
    }


def _place(x: float, y: float, height: int) -> tuple[float, float]:
    return round(x / WIDTH, 4), round(1 - y / height, 4)
