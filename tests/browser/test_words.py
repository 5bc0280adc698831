"""What the pages say in the browser is what the builder says: every number and every sentence both of them choose."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict, replace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from playwright.sync_api import Page

from builder.findings.dataset import Dataset
from builder.fit.compare.two_configurations import Comparison, MethodAdjustment, compare
from builder.fit.summary.summaries import summarise
from builder.site.explorer_page import FIGURES
from builder.words import comparisons, summary_figures
from builder.words.catalogue import count, language, say
from builder.words.numbers import between, figure, fit, none, times
from tests.browser.test_compare import invented_tests

SENTENCES = """async (all) => {
    const words = await import("/assets/scripts/compare/verdict-words.js");
    return all.map((found) => [
        words.verdictSentence(found, "as sold", "with a band"),
        ...words.furtherSentences(found, "as sold", "with a band"),
        words.verdictWords(found),
        words.ratioLabel(found),
    ]);
}"""

NUMBERS = """async ([values, pairs]) => {
    const figures = await import("/assets/scripts/common/figures.js");
    const { count } = await import("/assets/scripts/common/say.js");
    return {
        figure: values.map(figures.figure),
        fit: values.map((value) => figures.fit(value, true)),
        times: values.map(figures.times),
        between: pairs.map(([low, high]) => figures.between(low, high)),
        count: values.map((value) => count("wearer", Math.floor(value ?? 0))),
    };
}"""

LABELS = """async (all) => {
    const figures = await import("/assets/scripts/common/figures.js");
    const labels = ["rangeLabel", "leakageLabel", "reachLabel", "intervalLabel", "asideLabel"];
    return all.map((row) => labels.map((label) => figures[label](row)));
}"""

LABELLED = ("range_label", "leakage_label", "reach_label", "interval_label", "aside_label")


def sent(value: object) -> Any:
    """A value as the published files carry it."""
    return json.loads(json.dumps(value, allow_nan=False, default=lambda item: item.item()))


def random_comparisons(base: Comparison) -> Iterator[Comparison]:
    """Comparisons of every verdict, bound and direction, with random figures: more than any tests would show."""
    random = np.random.default_rng(11)

    def figures(*names: str) -> dict[str, float | None]:
        return {name: None if random.random() < 0.2 else float(np.exp(random.normal(0, 2))) for name in names}

    for _ in range(1500):
        wearers = int(random.integers(1, 9))
        contrasts = tuple(replace(base.wearers[0], wearer=f"w{number}") for number in range(wearers))
        same = bool(random.random() < 0.8)
        yield replace(
            base,
            **figures("ratio", "low90", "high90", "low99", "high99", "predict_low95", "predict_high95"),  # type: ignore[arg-type]
            bound=str(random.choice(["none", "at_least", "at_most"])),  # type: ignore[arg-type]
            verdict=str(random.choice(["clear", "likely", "alike", "cannot-tell"])),  # type: ignore[arg-type]
            direction=str(random.choice(["b-higher", "a-higher"])),  # type: ignore[arg-type]
            donnings_needed=(None, 0, 1, 2, 1200)[random.integers(5)],
            donnings_for_seen=(None, 1, 2, 34)[random.integers(4)],
            wearers=contrasts if same else (),
            same_wearers=same,
            pooled=int(random.integers(0, 3)),
            only_a=int(random.integers(0, 3)),
            only_b=int(random.integers(0, 3)),
            wearers_same_method=int(random.integers(0, 3)),
            wearers_mixed_method=int(random.integers(0, 3)),
            method_adjustment=MethodAdjustment(1.4, 0.9, 2.2) if random.random() < 0.6 else None,
        )


def test_every_sentence_on_a_comparison(scripts: Page, demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    base = compare(demo.measured_arms, "brodipim", "brodipim+loop-clip")
    drawn = list(random_comparisons(base))
    said: set[str] = set()

    def heard(message: str, /, **values: object) -> str:
        said.add(message)
        return say(message, **values)

    monkeypatch.setattr(comparisons, "say", heard)
    expected = [
        [
            comparisons.verdict_sentence(found, "as sold", "with a band"),
            *comparisons.further_sentences(found, "as sold", "with a band"),
            comparisons.verdict_words(found),
            comparisons.ratio_label(found),
        ]
        for found in drawn
    ]
    assert scripts.evaluate(SENTENCES, sent([asdict(found) for found in drawn])) == expected
    kinds = ("verdict.", "verdict_words.", "ratio.", "measured.")
    assert {name for name in language().messages if name.startswith(kinds)} <= said


def test_every_number(scripts: Page) -> None:
    random = np.random.default_rng(7)
    values = [None, 0.0, 1.0, 999.0, 1000.0, 1234567.0, *np.exp(random.uniform(-9, 16, 800)).tolist()]
    ends: list[float | None] = [None if random.random() < 0.2 else value for value in values]
    pairs = list(zip(ends, reversed(ends), strict=True))
    found = scripts.evaluate(NUMBERS, [values, pairs])
    assert found["figure"] == [none() if value is None else figure(value) for value in values]
    assert found["fit"] == [none() if value is None else fit(value, True) for value in values]
    assert found["times"] == [times(value) for value in values]
    assert found["between"] == [between(low, high) for low, high in pairs]
    assert found["count"] == [count("wearer", int(value or 0)) for value in values]


def test_every_figure_of_a_summary(scripts: Page, demo: Dataset) -> None:
    tables = [invented_tests(seed).assign(parts="", mask="m") for seed in range(8)]
    rows = [row for table in tables for row in summarise(table).to_dict("records")]
    rows += demo.summary.to_dict("records")
    wanted = [{name: None if pd.isna(row[name]) else row[name] for name in FIGURES} for row in rows]
    expected = [[getattr(summary_figures, label)(row) for label in LABELLED] for row in rows]
    assert scripts.evaluate(LABELS, sent(wanted)) == expected
