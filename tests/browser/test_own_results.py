"""Chances given own results in a browser: the builder's, for many random faces and answers."""

from __future__ import annotations

import gzip
import json
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page

from builder.findings.dataset import Dataset
from builder.fit.compare.methods import Method
from builder.fit.facemodel import FaceDescription, FaceModel, fit_face_model
from builder.fit.facemodel.own_results import FIT_TEST_KINDS, OwnResult
from builder.fit.facemodel.personal import Informed, informed
from builder.fit.facemodel.predict import predict
from builder.site.face_model_file import ADDRESS, in_characters, model_content
from builder.site.published import compact_json
from tests.fit.facemodel.simulation import World, simulate

WAYS = (None, None, None, Method("one-exercise", "condensation-counter", "all-sizes"))
STYLES = ("cup", "flat-fold", "elastomeric")
SMALL = World(wearers=60, masks=40, configurations=250, tests=950, mixed_methods=True, parts_by_bridge=0.2)
SPARSE = World(wearers=30, masks=40, configurations=250, tests=490)
"""The most posteriors that there can be, of as many configurations as so few tests may have."""
MIDDLE = World(wearers=60, masks=120, configurations=1_100, tests=990)

LARGE = World(wearers=150, masks=400, configurations=3_100, tests=9_000)
MOST_BYTES = 150_000


def random_face(rng: np.random.Generator) -> FaceDescription:
    """Millimetres, a cell or nothing, with a nose bridge or without."""
    bridge = str(rng.choice(["low", "medium", "high", "unknown"]))
    kind = int(rng.integers(0, 4))
    if kind == 0:
        return FaceDescription(cell=str(rng.choice(["unknown", *map(str, range(1, 11))])), nose_bridge=bridge)
    return FaceDescription(round(rng.uniform(98.5, 138.5), 1), round(rng.uniform(120.5, 158.5), 1), nose_bridge=bridge)


def random_answer(rng: np.random.Generator, model: FaceModel, face: FaceDescription) -> OwnResult:
    """What such a person may tell, drawn around what the model expects of them."""
    name = str(rng.choice(model.design.catalogue.configurations))
    expected = float(np.log(model.predict(face, [name])["fit_factor"].iloc[0]))
    fit_factor = float(np.exp(max(0.0, expected + 1.1 * rng.standard_normal())))
    configuration, style = (name, "") if rng.random() < 0.85 else ("", str(rng.choice(STYLES)))
    kind = int(rng.integers(0, 5))
    if kind <= 1:
        way = WAYS[int(rng.integers(0, len(WAYS)))]
        return OwnResult(configuration, "fit-factor", round(fit_factor, 1), method=way, style=style)
    if kind == 2 and fit_factor < 30:
        return OwnResult(configuration, "leaks", style=style)
    if kind == 3 and fit_factor > 150:
        return OwnResult(configuration, "at-least", 150.0, style=style)
    test = str(rng.choice(list(FIT_TEST_KINDS)))
    return OwnResult(configuration, "passed" if fit_factor >= 100 else "failed", kind=test, style=style)


def for_browser(face: FaceDescription, own: Sequence[OwnResult]) -> dict[str, Any]:
    told: list[dict[str, Any]] = []
    for one in own:
        mask = {"configuration": one.configuration} if one.configuration else {"style": one.style}
        figure = {} if np.isnan(one.fit_factor) else {"fitFactor": one.fit_factor}
        told.append(
            {
                **mask,
                **figure,
                "outcome": one.outcome,
                "kind": one.kind,
                "method": vars(one.method) if one.method else {},
            }
        )
    measures = {"length": face.length_mm, "width": face.width_mm}
    return {"face": {**measures, "cell": face.cell, "bridge": face.nose_bridge}, "told": told}


def gzipped(content: dict[str, Any]) -> int:
    return len(gzip.compress(compact_json(content).encode()))


WITH_MODEL = """
    const from = (name) => import(new URL(`../assets/scripts/statistics/${name}.js`, location.href));
    const { readModel } = await from("face-model");
    const { inform } = await from("own-results");
    const { tryFirst, telling } = await from("try-first");
    const model = readModel(content);
    const all = content.catalogue.configurations.map((_, place) => place);
"""
"""Reads the model `content`, and has what answers with it."""

ASKED = (
    f"async ([content, asked]) => {{{WITH_MODEL}"
    + """
    return asked.map(({ face, told }) => {
        const found = inform(model, face, told);
        const figures = ["chance", "before", "low", "high", "ownLow", "ownHigh", "fitFactor"];
        return {
            ...Object.fromEntries(figures.map((name) => [name, [...found[name]]])),
            first: tryFirst(found, all), telling: telling(found, all),
        };
    });
}"""
)


def agreement(page: Page, model: FaceModel, data: Dataset, count: int, seed: int) -> dict[str, Any]:
    """Differences of the browser's figures from the builder's, over random faces with none to four answers each."""
    rng = np.random.default_rng(seed)
    people = []
    for _ in range(count):
        face = random_face(rng)
        people.append((face, [random_answer(rng, model, face) for _ in range(int(rng.integers(0, 5)))]))
    content = model_content(model, data.method_effects)
    page.goto("faces/")
    answers = page.evaluate(ASKED, [content, [for_browser(face, own) for face, own in people]])
    away: dict[str, list[float]] = {name: [] for name in ("chance", "before", "low", "high", "ownLow", "ownHigh")}
    lists, told = [], []
    for (face, own), answer in zip(people, answers, strict=True):
        exact: Informed | None = informed(model, face, own, methods=data.method_effects) if own else None
        table = exact.predict() if exact else model.predict(face)
        names = {"chance": "chance", "low": "low", "high": "high"}
        names |= {"before": "chance_before", "ownLow": "own_low", "ownHigh": "own_high"} if exact else {}
        for name, column in names.items():
            away[name] += list(np.abs(np.array(answer[name]) - table[column].to_numpy()))
        first = exact.try_first() if exact else model.try_first(face)
        lists.append(abs(answer["first"][-1]["soFar"] - first[-1].cumulative_chance))
        if exact:
            ranked = exact.telling().set_index("configuration")["told"].loc[table["configuration"]].to_numpy()
            told.append(float(ranked[int(np.argmax(answer["telling"]))] / ranked.max()))
    return {name: np.array(values) for name, values in away.items()} | {"list": np.array(lists), "told": np.array(told)}


def assert_agrees(found: dict[str, Any]) -> None:
    """Within 1 point on 95 % of configurations, 3 at most."""
    for name in ("chance", "before"):
        assert np.quantile(found[name], 0.95) < 0.01, name
        assert found[name].max() < 0.03, name
    for name in ("low", "high"):
        assert np.quantile(found[name], 0.95) < 0.025, name
    assert np.quantile(found["list"], 0.95) < 0.015
    assert found["list"].max() < 0.03
    assert np.quantile(found["told"], 0.05) > 0.9


def test_chances_agree_on_the_demo(page: Page, demo: Dataset) -> None:
    assert demo.model is not None
    assert_agrees(agreement(page, demo.model, demo, 100, 1))


@pytest.mark.parametrize("world", [SMALL, SPARSE])
def test_chances_agree_on_another_database(page: Page, demo: Dataset, world: World) -> None:
    model = fit_face_model(simulate(world, 2))
    assert_agrees(agreement(page, model, demo, 30, 2))
    assert gzipped(model_content(model, demo.method_effects)) < MOST_BYTES


def test_numbers_come_back_from_their_characters(page: Page) -> None:
    rng = np.random.default_rng(3)
    numbers = np.concatenate([np.arange(-200, 200) * 0.01, rng.normal(0, 4, 500)])
    whole = np.rint(numbers / 0.01) * 0.01
    text = json.loads(compact_json(in_characters(numbers, 0.01)))
    page.goto("faces/")
    script = """async ([text]) => {
        const { numbers } = await import(new URL("../assets/scripts/statistics/face-model.js", location.href));
        return [...numbers(text, 0.01)];
    }"""
    assert page.evaluate(script, [text]) == pytest.approx(whole.tolist())


@pytest.mark.parametrize(("world", "configurations"), [(MIDDLE, 500), (LARGE, 2_800)])
def test_many_configurations_are_small_and_agree(page: Page, demo: Dataset, world: World, configurations: int) -> None:
    """150 kB gzipped. What an answer takes is measured by hand (tests/bench/own_answers.py)."""
    model = fit_face_model(simulate(world, 4))
    assert len(model.design.catalogue.configurations) > configurations
    content = model_content(model, demo.method_effects)
    assert gzipped(content) < MOST_BYTES
    assert_agrees(agreement(page, model, demo, 8, 6))


def test_the_published_file_is_the_models(demo: Dataset, page: Page, site_url: str) -> None:
    assert demo.model is not None
    published = page.request.get(f"{site_url}{ADDRESS}").text()
    assert json.loads(published) == json.loads(compact_json(model_content(demo.model, demo.method_effects)))


def test_predictions_are_those_of_the_outlooks(demo: Dataset) -> None:
    """Without answers the builder's table is what its outlooks say: what the browser is held against."""
    assert demo.model is not None
    face = FaceDescription(117, 138, nose_bridge="high")
    chance = predict(demo.model.outlooks(face), demo.model.limit, demo.model.weights).chance
    assert demo.model.predict(face)["chance"].to_numpy() == pytest.approx(chance)
