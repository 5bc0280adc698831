"""Levels and limits: stated once, and what is written by hand says the ones in force."""

from __future__ import annotations

import ast
from dataclasses import fields
from pathlib import Path

import pytest
from scipy.special import ndtri

from builder.cli import main
from builder.findings.open_tables import SUMMARY_COLUMNS
from builder.fit import levels
from builder.fit.compare.factorial import Effect
from builder.fit.compare.hack_effects import HackEffect
from builder.fit.compare.verdicts import Judgement
from builder.fit.facemodel.predict import HALF_WIDTH
from builder.fit.summary.summaries import FIGURES

ROOT = Path(__file__).parents[2]
BUILDER = ROOT / "builder"
METHODS = " ".join((ROOT / "site_src/pages/methods.md").read_text("utf-8").split())


def test_tails_and_what_lies_beyond() -> None:
    assert [levels.tails(level) for level in (0.9, 0.95, 0.99)] == [(0.05, 0.95), (0.025, 0.975), (0.005, 0.995)]
    assert [levels.beyond(level) for level in (0.9, 0.95, 0.99)] == [0.1, 0.05, 0.01]
    assert pytest.approx(float(ndtri(0.95))) == HALF_WIDTH


def percents(level: float) -> str:
    return f"{100 * level:g}"


@pytest.mark.parametrize(
    ("kind", "names"),
    [
        (Judgement, [f"low{percents(levels.LIKELY_LEVEL)}", f"high{percents(levels.CLEAR_LEVEL)}"]),
        (Effect, [f"low{percents(levels.SHOWN_LEVEL)}"]),
        (HackEffect, [f"low{percents(levels.SHOWN_LEVEL)}", f"predict_high{percents(levels.SHOWN_LEVEL)}"]),
    ],
)
def test_names_of_figures_say_their_level(kind: type, names: list[str]) -> None:
    """A level that changes leaves no figure under a name that says the old one."""
    assert set(names) <= {field.name for field in fields(kind)}


def test_names_of_columns_say_what_is_to_be_reached() -> None:
    name = f"share_at_{levels.PASS_LEVEL:g}"
    assert name in FIGURES
    assert {name, f"{name}_low", f"{name}_high"} <= SUMMARY_COLUMNS.keys()


@pytest.mark.parametrize(
    "said",
    [
        f"| clear | the {percents(levels.CLEAR_LEVEL)} % interval leaves out 1 |",
        f"| likely | the {percents(levels.LIKELY_LEVEL)} % interval leaves out 1 |",
        f"the {percents(levels.LIKELY_LEVEL)} % interval lies within ×{levels.ALIKE_RATIO:g} and "
        f"÷{levels.ALIKE_RATIO:g}",
    ],
)
def test_the_methods_page_says_the_levels(said: str) -> None:
    assert said in METHODS


def test_the_command_says_what_is_to_be_reached(capsys: pytest.CaptureFixture[str]) -> None:
    for arguments in (["--help"], ["suggest", "--help"]):
        with pytest.raises(SystemExit):
            main(arguments)
        assert f"a fit factor of {levels.PASS_LEVEL:g}" in " ".join(capsys.readouterr().out.split())


def test_no_module_has_a_level_of_its_own() -> None:
    """Literals that are a level of an interval, or a tail of one, are names of `builder/fit/levels.py`."""
    watched = {0.9, 0.95, 0.99, 0.975, 0.995, 0.025, 0.005}
    # No levels: how far a step is damped, how high room air stands, and how finely figures are written.
    damped = {"fit/facemodel/censored.py", "fit/compare/network_limits.py"}
    others = {*damped, "fit/counts/schedule.py", "site/face_model_file.py"}
    allowed = {"fit/levels.py", *others}
    found = [
        f"{path.relative_to(BUILDER)}:{node.lineno}: {node.value}"
        for folder in ("fit", "findings", "words", "site", "commands", "review")
        for path in sorted((BUILDER / folder).rglob("*.py"))
        if str(path.relative_to(BUILDER)) not in allowed
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, float) and node.value in watched
    ]
    assert found == []
