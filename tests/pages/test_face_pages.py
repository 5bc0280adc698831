"""The files the face page fetches, and what its pages hold without a script."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.findings.advice import Advice, advise, chances_by_mask
from builder.findings.dataset import Dataset
from builder.findings.forecast import Forecast, NoModel
from builder.fit.facemodel import FaceDescription
from builder.fit.panel import CELLS
from builder.fit.summary.summaries import summarise
from builder.site import face_pages as faces
from builder.site.face_pages import LONGEST_LIST, face_files, face_pages, shown_advice, ten_people
from builder.site.published import Renderer
from builder.words.catalogue import say
from builder.words.chances import chance_text, of_ten, percent, ranked_chance
from builder.words.numbers import figure
from builder.words.predictions import why_sentence


@pytest.fixture(scope="module")
def files(demo: Dataset) -> dict[str, Any]:
    return {file.path: json.loads(file.content) for file in face_files(demo)}


def shown_on(data: Dataset, cell: str = "unknown", bridge: str = "unknown", *, as_sold: bool = False) -> dict[str, Any]:
    return shown_advice(data, advise(data, FaceDescription(cell=cell, nose_bridge=bridge), as_sold=as_sold))


@pytest.fixture(scope="module")
def pages(demo: Dataset) -> dict[str, str]:
    return {page.address: " ".join(page.html.split()) for page in face_pages(demo, Renderer(demo))}


def test_no_list_is_published_of_any_face(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    assert [file.path for file in face_files(demo)] == ["faces/panel.json"]
    unmodelled = replace(demo)  # What was said of the demo is remembered.
    monkeypatch.setitem(unmodelled.__dict__, "_forecast", Forecast(None, None, NoModel("few-wearers", 3, 8)))
    assert [file.path for file in face_files(unmodelled)] == ["faces/panel.json"]


def test_a_page_draws_a_chance_as_ten_faces(demo: Dataset, pages: dict[str, str]) -> None:
    drawn = str(ten_people(0.65))
    assert [drawn.count(f'class="sb-ten__{name}"') for name in ("fits", "half", "other", "mask")] == [6, 1, 3, 10]
    never = [str(ten_people(chance)) for chance in (0.0, 1.0)]
    assert ["sb-ten__half" in drawn for drawn in never] == [True, True]
    best = shown_advice(demo, advise(demo, FaceDescription(), as_sold=True))["best_changed"]["chance"]
    assert f"{ten_people(best)} {of_ten(best)}</span>" in pages["faces/"]


def test_a_list_holds_the_advice(demo: Dataset) -> None:
    for cell, bridge in [("4", "high"), ("10", "unknown"), ("unknown", "low"), ("unknown", "unknown")]:
        advice = advise(demo, FaceDescription(cell=cell, nose_bridge=bridge))
        shown = shown_on(demo, cell, bridge)
        assert shown["basis"] == "model"
        assert [row["configuration"] for row in shown["first"]] == [c.configuration for c in advice.try_first]
        assert shown["first"][-1]["cumulative_chance"] == pytest.approx(
            advice.try_first[-1].cumulative_chance, rel=1e-3
        )
        assert [row["chance"] for row in shown["ranked"]] == [
            faces._cut(row.chance or 0.0) for row in advice.ranked[:LONGEST_LIST]
        ]
        assert shown["more"] == max(0, len(advice.ranked) - LONGEST_LIST)


def test_a_list_of_masks_as_sold_claims_no_check_of_lists_of_all(demo: Dataset) -> None:
    shown = shown_on(demo, "4", "high", as_sold=True)
    advice = advise(demo, FaceDescription(cell="4", nose_bridge="high"), as_sold=True)
    assert [row["configuration"] for row in shown["first"]] == [c.configuration for c in advice.try_first]
    assert not any(row["changed"] for row in shown["ranked"])
    assert (shown["check"], shown_on(demo, "4", "high")["check"] != "") == ("", True)


@given(st.floats(0.0001, 1.0))
def test_a_chance_is_rounded_but_once(chance: float) -> None:
    assert percent(faces._cut(chance)) == percent(chance)
    assert percent(faces._cut(0.97496)) == 95


def test_a_fit_factor_is_rounded_but_once() -> None:
    assert figure(faces._shorter("fit_factor", 123.46)) == figure(123.46) == "123"


def test_a_long_list_is_cut_and_says_how_much_follows(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(faces, "LONGEST_LIST", 10)
    advice = advise(demo, FaceDescription())
    shown = shown_advice(demo, advice)
    assert (len(shown["ranked"]), shown["more"]) == (10, len(advice.ranked) - 10)


def test_the_panel_is_the_builders(files: dict[str, Any]) -> None:
    panel = files["faces/panel.json"]
    assert [
        (c["name"], c["length_low"], c["length_high"], c["width_low"], c["width_high"], c["share_percent"])
        for c in panel["cells"]
    ] == [(c.name, c.length_low, c.length_high, c.width_low, c.width_high, c.share_percent) for c in CELLS]
    assert panel["limits"] == {"length": [80, 170], "width": [90, 190]}
    assert panel["least"] == {"length": 98.5, "width": 120.5}


@pytest.mark.parametrize("address", ["faces/", "faces/cell-4/"])
def test_a_chance_is_said_to_be_about_people_with_such_a_face(pages: dict[str, str], address: str) -> None:
    assert "A chance and its interval are about people with such a face, not about you: " in pages[address]
    assert "holds one such person's own chance in three to four cases of ten only." in pages[address].replace(
        "&#39;", "'"
    )


def test_a_cell_page_shows_its_list(demo: Dataset, pages: dict[str, str]) -> None:
    page, shown = pages["faces/cell-4/"], shown_on(demo, "4", as_sold=True)
    for row in shown["first"]:
        assert f">{row['label']}</a>" in page
    assert f"<strong>{chance_text(shown['first'][-1]['cumulative_chance'])}</strong>" in page
    for row in shown["ranked"]:
        assert f"{ranked_chance(row['chance'], row['little_known'])} <span" in page
    assert page.count("no longer certified") == 1
    assert [shown[kind]["changed"] for kind in ("best_as_sold", "best_changed")] == [False, True]
    for kind in ("best_as_sold", "best_changed"):
        assert f"<dt>{say(f'advice.{kind}')}</dt> <dd><a" in page.replace("</dt><dd>", "</dt> <dd>")
        assert f">{shown[kind]['label']}</a>" in page
    assert f"near this cell; {say('advice.adds')}</span>" in page
    assert f"near this cell; {say('advice.adds_to_all')}</span>" in page
    assert 'href="../../faces/?cell=4&masks=all"' in page.replace("&amp;", "&")
    assert 'href="../../faces/?cell=4&bridge=high"' in page.replace("&amp;", "&")


def test_figures_of_a_cell_are_those_of_its_faces_alone(demo: Dataset) -> None:
    assert set(demo.summary_by_cell) == set(demo.counted["cell"])
    for cell, rows in demo.summary_by_cell.items():
        alone = summarise(demo.table[demo.table["cell"] == cell]).query("tests > 0").reset_index(drop=True)
        pd.testing.assert_frame_equal(pd.DataFrame(rows)[alone.columns], alone, check_dtype=False)


def test_no_percentage_stands_where_little_is_known(demo: Dataset, pages: dict[str, str]) -> None:
    little = [row for row in shown_on(demo, as_sold=True)["ranked"] if row["little_known"]]
    assert little
    assert pages["faces/"].count("little is known <span") >= len(little)


def test_without_a_model_there_is_no_chance_on_any_page(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    bare = replace(demo)  # a copy, for what follows from a forecast is kept beside it
    bare.__dict__["_forecast"] = Forecast(None, None, NoModel("few-wearers", 3, 8))

    def unmodelled(_: Dataset, face: FaceDescription, count: int = 3, *, as_sold: bool = False) -> Advice:
        advice = advise(demo, face, count, as_sold=as_sold)
        best = [row and replace(row, chance=None) for row in (advice.best_as_sold, advice.best_changed)]
        return replace(
            advice,
            best_as_sold=best[0],
            best_changed=best[1],
            basis="summaries",
            try_first=tuple(replace(c, chance=None, cumulative_chance=None) for c in advice.try_first),
            ranked=tuple(replace(row, chance=None, low=None, high=None) for row in advice.ranked),
        )

    monkeypatch.setattr(faces, "advise", unmodelled)
    why = why_sentence(bare, unmodelled(bare, FaceDescription())).casefold()
    for page in face_pages(bare, Renderer(bare)):
        text = page.html.casefold().replace(why, "")
        assert "chance" not in text.replace("see what to try first and how likely it is to fit", ""), page.address
        assert "about " not in text, page.address


def test_a_mask_can_show_its_rows_for_any_face(demo: Dataset) -> None:
    use = '{% from "_population.html" import population_details with context %}{{ population_details(rows) }}'
    template = Renderer(demo).environment.from_string(use)
    mask, rows = next(iter(chances_by_mask(demo).items()))
    html = template.render(data=demo, rows=rows, link=lambda address: f"../../{address}")
    assert html.count('<th scope="row">') == len(rows)
    assert f'href="../../masks/{mask}/#' in html
