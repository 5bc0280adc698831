"""`sealbook suggest`: the list for a face, and plain words for what does not go together."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builder.commands.suggest import command
from builder.findings.advice import advise, advise_wearer
from builder.findings.dataset import Dataset
from builder.fit.facemodel import FaceDescription
from builder.words.predictions import why_sentence
from tests.conftest import ROOT


def run(*arguments: str, entries: Path = ROOT / "entries") -> Result:
    return CliRunner().invoke(command, ["--entries", str(entries), *arguments])


def as_json(*arguments: str, entries: Path = ROOT / "entries") -> Any:
    result = run(*arguments, "--format", "json", entries=entries)
    assert result.exit_code == 0, result.output
    return json.loads(result.output, parse_constant=pytest.fail)


@pytest.mark.parametrize(
    ("arguments", "face"),
    [
        ([], FaceDescription()),
        (["--cell", "4", "--bridge", "high"], FaceDescription(cell="4", nose_bridge="high")),
        (["--length", "117", "--width", "138", "--bridge", "low"], FaceDescription(117, 138, nose_bridge="low")),
        (["--bridge", "medium"], FaceDescription(nose_bridge="medium")),
        (["--length", "130", "--width", "122"], FaceDescription(130, 122)),
    ],
)
def test_json_holds_the_whole_list(demo: Dataset, arguments: list[str], face: FaceDescription) -> None:
    printed, advice = as_json(*arguments, "--changed"), advise(demo, face)
    assert list(printed) == ["try_first", "ranked", "basis", "why", "as_sold", "best_as_sold", "best_changed"]
    assert printed["as_sold"] is False
    assert printed["basis"] == "model"
    assert printed["why"] == why_sentence(demo, advice)
    assert [row["configuration"] for row in printed["ranked"]] == [row.configuration for row in advice.ranked]
    for got, row in zip(printed["ranked"], advice.ranked, strict=True):
        assert {"configuration", "chance", "low", "high", "wearers"} <= set(got)
        assert got["chance"] == pytest.approx(row.chance, abs=1e-6)
    assert len(printed["try_first"]) == 3
    cumulative = [choice["cumulative_chance"] for choice in printed["try_first"]]
    assert cumulative == sorted(cumulative)
    assert printed["try_first"][0]["chance"] == cumulative[0]


def test_masks_as_sold_alone(demo: Dataset) -> None:
    printed, advice = as_json("--cell", "4"), advise(demo, FaceDescription(cell="4"), as_sold=True)
    assert printed == as_json("--cell", "4", "--as-sold")
    assert printed["as_sold"] is True
    assert [row["configuration"] for row in printed["ranked"]] == [row.configuration for row in advice.ranked]
    assert not any("+" in choice["configuration"] for choice in printed["try_first"])
    assert advice.best_as_sold is not None and advice.best_changed is not None
    assert printed["best_as_sold"]["configuration"] == advice.best_as_sold.configuration
    assert printed["best_changed"]["configuration"] == advice.best_changed.configuration


def test_a_face_below_the_panel_gets_the_reason_and_no_list() -> None:
    for masks in ("--as-sold", "--changed"):
        printed = as_json("--length", "95", "--width", "118", masks)
        assert (printed["basis"], printed["try_first"], printed["ranked"]) == ("none", [], [])
        assert (printed["best_as_sold"], printed["best_changed"]) == (None, None)
        assert printed["why"].startswith("95 × 118 mm: smaller than any face of the panel")
    lines = run("--length", "95", "--width", "118").output.splitlines()
    assert lines[0] == printed["why"]
    assert len(lines) == 3


def test_count_says_how_many(demo: Dataset) -> None:
    assert len(as_json("--count", "5")["try_first"]) == 5
    assert run("--count", "0").exit_code == 2


def test_text_says_it_in_a_few_lines(demo: Dataset) -> None:
    result = run("--cell", "4")
    lines = result.output.splitlines()
    assert lines[0] == "Try first, of the masks as sold:"
    assert run("--cell", "4", "--changed").output.startswith("Try first:\n")
    assert not lines[1].endswith("first")
    assert lines[2].endswith("; adds most to the first")
    assert lines[3].endswith("; adds most to those before it")
    assert lines[4] == (
        "The first has the best chance alone; each further one adds most to those before it, for a face that they do "
        "not fit."
    )
    assert [line[:14] for line in lines[6:8]] == ["Best as sold  ", "Best changed  "]
    assert [line[:3] for line in lines[1:4]] == ["1. ", "2. ", "3. "]
    assert all(re.search(r" — one so far passes on \d+ in \d+ people", line) for line in lines[1:4])
    assert "people like you, " in lines[6]
    assert any(line.startswith("configuration ") and "90 % interval" in line for line in lines)
    assert lines[-1].startswith("No promise")
    assert "no longer the certified product" in lines[-1]


def test_a_wearer_gets_the_next_test_for_both_goals(demo: Dataset) -> None:
    wearer = str(demo.counted["wearer"].iloc[0])
    printed = as_json("--wearer", wearer)
    advice = advise_wearer(demo, wearer, as_sold=True)
    assert [row["configuration"] for row in printed["ranked"]] == [row.configuration for row in advice.ranked]
    assert list(printed["next_test"]) == ["pass", "best"]
    for rows in printed["next_test"].values():
        assert [set(row) for row in rows] == [{"configuration", "chance", "value"}] * 3
    text = run("--wearer", wearer).output
    assert "To find a pass soonest, test next:" in text
    assert "To find the best soonest, test next:" in text


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--length", "117"], "--length and --width come together"),
        (["--width", "138"], "--length and --width come together"),
        (["--length", "117", "--width", "138", "--cell", "4"], "Give millimetres or --cell, not both"),
        (["--length", "11.7", "--width", "138"], "--length 11.7 mm is no face: it lies between 80 and 170 mm"),
        (["--length", "117", "--width", "500"], "--width 500 mm is no face: it lies between 90 and 190 mm"),
        (["--length", "nan", "--width", "138"], "--length nan mm is no face"),
        (["--cell", "11"], "11 is not in the range"),
        (["--bridge", "huge"], "'huge' is not one of"),
        (["--wearer", "nobody"], "There is no wearer nobody in these entries."),
    ],
)
def test_what_does_not_go_together_is_said(arguments: list[str], words: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert words in " ".join(result.output.split())


def test_a_wearer_goes_without_a_face(demo: Dataset) -> None:
    result = run("--wearer", str(demo.counted["wearer"].iloc[0]), "--cell", "4")
    assert result.exit_code == 2
    assert "--wearer goes without a face" in result.output


def test_without_tests_it_says_why(tmp_path: Path) -> None:
    printed = as_json(entries=tmp_path)
    assert (printed["basis"], printed["try_first"], printed["ranked"]) == ("summaries", [], [])
    assert "at least 8 wearers; 0 so far" in printed["why"]
    assert "Nothing yet: no test counts." in run(entries=tmp_path).output
