"""The file of the wearers of the database."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from builder.findings.advice import advise
from builder.findings.dataset import Dataset
from builder.findings.forecast import Forecast, NoModel
from builder.fit.facemodel import FaceDescription
from builder.site.people_file import ADDRESS, people_content, people_file
from builder.words.predictions import why_sentence


def test_each_configuration_has_the_figures_of_its_wearers(demo: Dataset) -> None:
    content = people_content(demo)
    columns, wearers = content["configurations"], content["wearers"]
    assert columns["id"] == sorted(set(demo.counted["configuration"]))
    marks = [
        dict(zip(tried, passed, strict=True)) for tried, passed in zip(wearers["tried"], wearers["passed"], strict=True)
    ]
    for place, name in enumerate(columns["id"]):
        own = [mark[place] for mark in marks if place in mark]
        figures = demo.summary_by_id[name]
        assert len(own) == columns["wearers"][place] == figures["wearers"]
        assert len(own) - own.count("?") == columns["share_wearers"][place] == figures["share_wearers"]
        assert own.count("1") == (columns["reached"][place] or 0)


def test_intervals_are_those_of_the_list_for_any_face(demo: Dataset) -> None:
    content = people_content(demo)
    rows = {row.configuration: row for row in advise(demo, FaceDescription()).ranked}
    for place, name in enumerate(content["configurations"]["id"]):
        assert content["configurations"]["low"][place] == pytest.approx(rows[name].low, abs=6e-5)
        assert content["configurations"]["high"][place] == pytest.approx(rows[name].high, abs=6e-5)
    assert content["why"] == why_sentence(demo, advise(demo, FaceDescription()))
    assert content["own_check"].startswith("Checked on 13 wearers whom the prediction had never seen")


def test_without_a_model_there_are_wearers_and_no_chances(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    data = replace(demo)
    monkeypatch.setitem(data.__dict__, "_forecast", Forecast(None, None, NoModel("few-wearers", 3, 8)))
    (file,) = people_file(data)
    assert file.path == ADDRESS
    content = json.loads(file.content)
    assert set(content["configurations"]["low"]) == {None}
    assert (content["check"], content["own_check"]) == ("", "")
    near = "wearers within 10 mm of {}, a step of the nose bridge counting as 5 mm, measured"
    assert near.format("this face") in content["why_near"]["face"]
    assert near.format("the middle of this cell") in content["why_near"]["cell"]
    assert len(content["wearers"]["tried"]) == 16
