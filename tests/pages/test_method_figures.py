"""What the methods page takes from the data."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import numpy as np
import plotly.graph_objects as go
import pytest

from builder.findings import forecast
from builder.findings.dataset import Dataset
from builder.fit.compare.pooling import random_effects, reml
from builder.fit.facemodel.scales import ESTIMATED, FIXED, Scales
from builder.records.vocabulary import Protocol
from builder.site import method_figures as methods
from builder.site.fragments import MARK, filled
from builder.site.published import Renderer
from builder.words.numbers import times
from tests.conftest import ROOT

PAGE = (ROOT / "site_src" / "pages" / "methods.md").read_text("utf-8")


def test_every_mark_of_the_page_is_filled(demo: Dataset) -> None:
    assert len(MARK.findall(PAGE)) >= 5
    text = filled(PAGE, Renderer(demo), 1)
    assert "<!-- sealbook" not in text
    assert f"a GSD of <strong>{demo.scatter.gsd:.3g}</strong>" in text
    assert demo.validation is not None
    assert f">{demo.validation.model.brier:.3f}<" in text


def test_headings_that_other_pages_link_are_there() -> None:
    assert {"Faces", "The face model", "Nose wires"} <= set(re.findall(r"^## (.+)$", PAGE, re.MULTILINE))


def test_pooling_stands_beside_the_classical_ways(demo: Dataset) -> None:
    rows = {row.token: row for row in methods.pooling_rows(demo)}
    assert set(rows) == {token for token, effect in demo.hacks.items() if effect.k >= 2}
    for token, row in rows.items():
        effect = demo.hacks[token]
        exact = [c for c in effect.contrasts if c.bound == "none"]
        y, v = np.log([c.ratio or np.nan for c in exact]), [c.variance or np.nan for c in exact]
        found = random_effects(y, v, reml(y, v), hartung_knapp=True)
        assert row.k == effect.k == len(exact)
        assert row.ours.startswith(times(effect.mean_ratio))
        assert row.hartung_knapp.startswith(times(float(np.exp(found.mean))))
        assert row.hartung_knapp.endswith(f"{times(float(np.exp(found.interval().high)))}]")


def test_scales_are_shown_as_factors(demo: Dataset) -> None:
    rows = methods.scale_rows(demo)
    assert [row.fixed for row in rows] == [False] * len(ESTIMATED) + [True] * len(FIXED)
    assert [row.prior for row in rows] == pytest.approx(
        np.exp([getattr(Scales(), name) for name in (*ESTIMATED, *FIXED)])
    )
    assert demo.model is not None
    assert rows[0].estimate == pytest.approx(np.exp(demo.model.scales.style))


def test_the_chart_and_the_table_hold_every_test_with_an_outcome(demo: Dataset) -> None:
    (file,) = methods.method_files(demo)
    (dots,) = go.Figure(json.loads(file.content)).data
    rows = methods.reliability_rows(demo)
    assert list(dots.x) == [row["predicted"] for row, _ in rows]
    assert demo.validation is not None
    assert sum(row["n"] for row, _ in rows) == demo.validation.tests["passed"].notna().sum()
    assert all(interval.low <= row["came_true"] <= interval.high for row, interval in rows)


def test_each_wire_with_a_section_is_listed(demo: Dataset) -> None:
    described = {token for token, record in demo.entries.parts.items() if record.part.section}
    assert {token for token, _, _ in methods.wire_rows(demo)} == described
    assert described


def test_without_a_model_the_page_says_why(demo: Dataset) -> None:
    # Copies, for what follows from a forecast is kept beside it.
    unused, few = replace(demo), replace(demo)
    unused.__dict__["_forecast"] = forecast.Forecast(None, demo.validation, forecast.NoModel("no-better"))
    text = filled(PAGE, Renderer(unused), 1)
    assert "it is not used.</strong> So the face pages rank by what was measured, without chances." in text
    few.__dict__["_forecast"] = forecast.Forecast(None, None, forecast.NoModel("few-wearers", 3, 8))
    assert "; 3 so far. So the face pages rank by what was measured" in filled(PAGE, Renderer(few), 1)
    assert list(methods.method_files(few)) == []


def test_the_protocols_are_told_from_the_vocabulary(demo: Dataset) -> None:
    piece = filled("<!-- sealbook: protocols -->", Renderer(demo), 1)
    assert (
        '<th scope="row">Short, four exercises</th><td>Bending over 30 s, talking 30 s, head side to side 30 s, '
        "head up and down 30 s</td>"
    ) in piece
    assert all(protocol.label in piece and protocol.meaning in piece for protocol in Protocol)
    assert '<th scope="row">Free</th><td>whatever was done</td>' in piece
