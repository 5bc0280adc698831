"""`sealbook parts`: which part of a change did it."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.findings.dataset import Dataset
from builder.findings.wearer_run import wearer_runs
from builder.words.wearer_run_words import wearer_run_words
from builder.words.which_part import wearer_parts
from tests.conftest import ROOT


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["parts", *arguments, "--entries", str(ROOT / "entries")])


def test_text_names_every_part_of_every_wearer(demo: Dataset) -> None:
    printed = run("skevuthar").output
    for one in wearer_parts(demo, demo.factorials["skevuthar"]):
        assert f"{one.wearer}: {one.tried}" in printed
        for row in one.rows:
            assert row.part in printed
            assert row.ratio in printed


def test_json_holds_every_factorial(demo: Dataset) -> None:
    printed = json.loads(run("skevuthar", "--format", "json").output)
    assert [(one["wearer"], one["configurations"]) for one in printed] == [
        (one.wearer, list(one.configurations)) for one in demo.factorials["skevuthar"]
    ]
    for one, found in zip(printed, demo.factorials["skevuthar"], strict=True):
        for effect, expected in zip(one["effects"], found.effects, strict=True):
            ratio = None if effect["effect"] is None else effect["effect"]["ratio"]
            assert ratio == (None if expected.effect is None else pytest.approx(expected.effect.ratio))


def test_one_wearer_alone(demo: Dataset) -> None:
    wearer = demo.factorials["skevuthar"][0].wearer
    printed = json.loads(run("skevuthar", "--wearer", wearer, "--format", "json").output)
    assert {one["wearer"] for one in printed} == {wearer}


def test_where_nobody_tried_parts_together_it_says_so(demo: Dataset) -> None:
    mask = next(mask for mask in demo.entries.masks if mask not in demo.factorials)
    runs = [wearer_run_words(demo, found) for found in wearer_runs(demo, mask)]
    assert len(runs) > 1
    nobody = f"Nobody has tried two parts together on {mask} yet."
    assert run(mask).output == "\n\n".join([nobody, *(f"{one.wearer}: {one.text}" for one in runs)]) + "\n"
    wearer = str(demo.table["wearer"].iloc[0])
    assert wearer_runs(demo, mask, wearer) == ()
    assert run(mask, "--wearer", wearer).output == f"{wearer} has not tried two parts together on {mask} yet.\n"


def test_where_nobody_tried_anything_nothing_else_is_said(demo: Dataset) -> None:
    mask = next(mask for mask in demo.entries.masks if not wearer_runs(demo, mask))
    assert run(mask).output == f"Nobody has tried two parts together on {mask} yet.\n"


@pytest.mark.parametrize("arguments", [("skevutar",), ("skevuthar", "--wearer", "nobody-at-all")])
def test_unknown_names_are_wrong_usage(arguments: tuple[str, ...]) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert "There is no" in result.output
