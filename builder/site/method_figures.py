"""What the methods page shows of the data at hand: scatter, pooling beside its rivals, and the model's own check."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields

import numpy as np
from markupsafe import Markup

from builder.findings.dataset import Dataset, Row, rows_of
from builder.findings.nose_wires import wire_holding
from builder.fit.compare.pooling import dersimonian_laird, random_effects, reml
from builder.fit.facemodel import Validation
from builder.fit.facemodel.scales import ESTIMATED, ScalePrior
from builder.fit.intervals import Interval
from builder.fit.levels import PREDICTED_LEVEL
from builder.fit.nose_wire import Holding
from builder.fit.summary.shares import wilson
from builder.pictures.svg import fluid
from builder.pictures.told_scores import told_scores_picture
from builder.records.models import Part
from builder.site.published import PublishedFile
from builder.site.reliability_charts import calibration_figure, calibration_picture
from builder.words.catalogue import count, say
from builder.words.labels import part_label
from builder.words.numbers import between, times


@dataclass(frozen=True)
class PoolingRow:
    """One hack's mean ratio by each way of pooling, as text: a ratio with its 95 % interval."""

    token: str
    label: str
    k: int
    ours: str
    dersimonian_laird: str
    reml: str
    hartung_knapp: str


@dataclass(frozen=True)
class ScaleRow:
    """A standard deviation of the face model as a factor (GSD): where its prior is centred, and as estimated."""

    term: str
    prior: float
    estimate: float | None
    fixed: bool


def _terms() -> dict[str, str]:
    return {
        "style": say("explore.key.style"),
        "mask": say("run.mask"),
        "configuration": say("face_scales.configuration"),
        "face": say("face_scales.face"),
        "face_style": say("face_scales.face_style"),
        "face_mask": say("face_scales.face_mask"),
        "wearer": say("face_scales.wearer"),
        "wearer_mask": say("face_scales.wearer_mask"),
        "wearer_configuration": say("face_scales.wearer_configuration"),
        "redonning": say("face_scales.redonning"),
        "hack_bridge": say("face_scales.hack_bridge"),
        "hack": say("face_scales.hack"),
        "protocol": say("face_scales.protocol"),
        "instrument": say("face_scales.instrument"),
        "size_selection": say("face_scales.size_selection"),
    }


def method_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give the chart of how often predictions came true, where there are any."""
    if data.validation is not None:
        yield PublishedFile("methods/reliability.json", calibration_figure(data.validation.reliability))


def reliability_chart(validation: Validation) -> Markup:
    """Draw how often predictions came true."""
    return calibration_picture(validation.reliability)


def own_check_picture(validation: Validation) -> Markup:
    """Draw how far predictions miss after none to three own results."""
    checks = validation.own_results
    ways = [
        (say("chart.told_model"), [check.model.brier for check in checks]),
        (say("chart.told_mean"), [check.shifted_mean.brier for check in checks]),
    ]
    drawing = told_scores_picture(
        ways,
        across=say("chart.told_across"),
        up=say("chart.told_up"),
        title=say("chart.told"),
        description=say("chart.told_about", wearers=count("wearer", checks[0].wearers)),
    )
    return Markup(fluid(drawing, "own-results"))


def pooling_rows(data: Dataset) -> list[PoolingRow]:
    """List the mean of every hack with two or more exact contrasts: ours, and three classical ones."""
    return [_pooling_row(data, token) for token, effect in data.hacks.items() if effect.k >= 2]


def scale_rows(data: Dataset) -> list[ScaleRow]:
    """List the face model's standard deviations."""
    prior, terms = ScalePrior().centre, _terms()
    found = data.model.scales if data.model else None
    return [
        ScaleRow(
            terms[field.name],
            float(np.exp(getattr(prior, field.name))),
            None if found is None else float(np.exp(getattr(found, field.name))),
            field.name not in ESTIMATED,
        )
        for field in fields(prior)
    ]


def reliability_rows(data: Dataset) -> list[tuple[Row, Interval]]:
    """List the tenths of the scale, each with the 90 % interval of the share that came true."""
    rows = rows_of(data.validation.reliability) if data.validation else []
    return [(row, wilson(round(row["came_true"] * row["n"]), row["n"], PREDICTED_LEVEL)) for row in rows]


def wire_rows(data: Dataset) -> list[tuple[str, Part, Holding]]:
    """List the published nose wires with a described section, and how each holds its bend."""
    parts = [(token, record.part) for token, record in sorted(data.entries.parts.items())]
    return [(token, part, held) for token, part in parts if (held := wire_holding(part)) is not None]


def _pooling_row(data: Dataset, token: str) -> PoolingRow:
    effect = data.hacks[token]
    exact = [c for c in effect.contrasts if c.bound == "none"]
    y = np.log([c.ratio for c in exact if c.ratio is not None])
    v = np.array([c.variance or np.nan for c in exact])
    restricted = reml(y, v)
    moments = random_effects(y, v, dersimonian_laird(y, v))
    plain = random_effects(y, v, restricted)
    adjusted = random_effects(y, v, restricted, hartung_knapp=True)
    assert effect.mean_ratio is not None  # from two contrasts on
    return PoolingRow(
        token=token,
        label=part_label(data, token),
        k=effect.k,
        ours=_bracketed(effect.mean_ratio, effect.low95, effect.high95),
        dersimonian_laird=_ratio(moments.mean, moments.interval()),
        reml=_ratio(plain.mean, plain.interval()),
        hartung_knapp=_ratio(adjusted.mean, adjusted.interval()),
    )


def _ratio(mean: float, interval: Interval) -> str:
    return _bracketed(float(np.exp(mean)), float(np.exp(interval.low)), float(np.exp(interval.high)))


def _bracketed(ratio: float, low: float | None, high: float | None) -> str:
    return say("effect.ratio", ratio=times(ratio), interval=between(low, high))
