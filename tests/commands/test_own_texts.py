"""`sealbook suggest --own`: what is understood, and each problem word for word."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builder.commands.own_texts import OwnResultsError, read_own_results
from builder.commands.suggest import command
from builder.findings.dataset import Dataset
from builder.findings.own_advice import advise_on_own_results
from builder.fit.compare.methods import Method
from builder.fit.facemodel import FaceDescription
from builder.fit.facemodel.own_results import FIT_TEST_KINDS
from builder.fit.facemodel.reference import REFERENCE
from tests.conftest import ROOT

CHANGED = "skevuthar+crossed-band+broad-strip"


def run(*arguments: str) -> Result:
    return CliRunner().invoke(command, ["--entries", str(ROOT / "entries"), *arguments])


def as_json(*arguments: str) -> Any:
    result = run(*arguments, "--format", "json")
    assert result.exit_code == 0, result.output
    return json.loads(result.output, parse_constant=pytest.fail)


def problems(demo: Dataset, *texts: str) -> tuple[str, ...]:
    with pytest.raises(OwnResultsError) as raised:
        read_own_results(demo, texts)
    return raised.value.problems


@pytest.mark.parametrize(
    ("text", "understood"),
    [
        ("brodipim=64", ("brodipim", "fit-factor", 64.0, None)),
        ("brodipim=64,5", ("brodipim", "fit-factor", 64.5, None)),
        ("brodipim=200+", ("brodipim", "at-least", 200.0, None)),
        (f"{CHANGED}=passed", (CHANGED, "passed", None, "quantitative")),
        ("skevuthar+broad-strip+crossed-band=Failed:Taste", (CHANGED, "failed", None, "taste")),
        ("brodipim=leaks", ("brodipim", "leaks", None, None)),
        ("other:cup:ffp2=64", (None, "fit-factor", 64.0, None)),
    ],
)
def test_what_is_understood(demo: Dataset, text: str, understood: tuple[object, ...]) -> None:
    (told,) = read_own_results(demo, [text])
    printed = told.printed()
    assert printed["told"] == text
    assert tuple(printed[name] for name in ("configuration", "outcome", "fit_factor", "kind")) == understood
    if printed["kind"]:
        assert printed["wrong_passes"] == FIT_TEST_KINDS[printed["kind"]].wrong_passes


def test_how_it_was_measured(demo: Dataset) -> None:
    (told,) = read_own_results(demo, ["brodipim=64:one-exercise:optical-counter"])
    assert told.result.method == Method("one-exercise", "optical-counter", REFERENCE.size_selection)
    (plain,) = read_own_results(demo, ["brodipim=64:eight-exercise"])
    assert plain.result.method is None


def test_another_mask_by_its_style(demo: Dataset) -> None:
    (told,) = read_own_results(demo, ["other:Cup:FFP2=passed"])
    assert (told.configuration, told.style, told.mask_class) == ("", "cup", "ffp2")
    assert (told.result.configuration, told.result.style) == ("", "cup")


def test_all_problems_at_once_word_for_word(demo: Dataset) -> None:
    assert problems(
        demo,
        "brodipim",
        "brodipm=64",
        "brodipim=0,5",
        f"{CHANGED}=12",
        "skevuthar+broad-strip+crossed-band=passed",
        "glivedupim=fine",
        "glivedupim+foam-strip=passed:sight",
        "truskopim=64:breathing",
        "quemamibek=1,200",
        "other:cap:ffp9=3",
        "other=3",
        "kruvolumot=leaks:taste",
    ) == (
        '"brodipim" is not of the form CONFIGURATION=64, =passed, =failed or =leaks.',
        'There is no configuration "brodipm" in these entries. Did you mean brodipim? '
        "A mask that is not in them is told by its style: other:cup or other:cup:ffp2.",
        '"0,5" is no fit factor: it lies between 1 and 1,000,000.',
        f'"{CHANGED}=12" and "skevuthar+broad-strip+crossed-band=passed" are about the same configuration: '
        "tell one; of several donnings the middle one.",
        '"fine" is no outcome: write a fit factor such as 64, 200+ for at least 200, passed, failed, leaks.',
        '"sight" is no kind of fit test. Known are quantitative, taste, smell.',
        '"breathing" is no way of measuring. Known are eight-exercise, short-four-exercise, one-exercise, free, '
        "condensation-counter, optical-counter, photometer, particle-sensor, dust-sensor, other, all-sizes, "
        "narrow-band.",
        '"1,200" may be 1200 or 1.200: write it so.',
        '"cap" is no style. Did you mean cup? "ffp9" is no class. Did you mean ffp3 or ffp2 or ffp1?',
        '"other" is not of the form other:STYLE or other:STYLE:CLASS.',
        '"kruvolumot=leaks:taste": nothing follows leaks.',
    )


def test_the_command_says_them_all() -> None:
    result = run("--own", "brodipm=64", "--own", "brodipim=fine")
    assert result.exit_code == 2
    assert 'There is no configuration "brodipm"' in result.output
    assert '"fine" is no outcome' in result.output


def test_json_holds_what_was_understood_and_what_it_moved(demo: Dataset) -> None:
    printed = as_json("--changed", "--cell", "4", "--own", "brodipim=12", "--own", f"{CHANGED}=failed:taste")
    before = {row["configuration"]: row["chance"] for row in as_json("--changed", "--cell", "4")["ranked"]}
    assert [one["told"] for one in printed["own"]] == ["brodipim=12", f"{CHANGED}=failed:taste"]
    told = [one.result for one in read_own_results(demo, ["brodipim=12", f"{CHANGED}=failed:taste"])]
    own = advise_on_own_results(demo, FaceDescription(cell="4"), told)
    assert [row["configuration"] for row in printed["ranked"]] == [row.configuration for row in own.advice.ranked]
    for row in printed["ranked"]:
        assert row["chance_before"] == pytest.approx(before[row["configuration"]], abs=1e-6)
        assert row["chance"] < row["chance_before"]
        assert row["low"] <= row["chance"] <= row["high"]
        assert row["own_low"] < row["own_high"]
    for choice in printed["try_first"]:
        assert choice["chance_before"] == pytest.approx(before[choice["configuration"]], abs=1e-6)
    assert printed["tells_most"] == list(own.telling)


def test_beside_a_wearers_entries(demo: Dataset) -> None:
    wearer = str(demo.counted["wearer"].iloc[0])
    printed, plain = (as_json("--changed", "--wearer", wearer, *own) for own in (("--own", f"{CHANGED}=passed"), ()))
    before = {row["configuration"]: row["chance"] for row in plain["ranked"]}
    for row in printed["ranked"]:
        assert row["chance_before"] == pytest.approx(before[row["configuration"]], abs=1e-6)
    (own,) = [row for row in printed["ranked"] if row["configuration"] == CHANGED]
    assert own["chance"] > own["chance_before"]
    known = {CHANGED, *demo.counted.loc[demo.counted["wearer"] == wearer, "configuration"]}
    likeliest = max((row for row in printed["ranked"] if row["configuration"] not in known), key=lambda r: r["chance"])
    assert printed["next_test"]["pass"][0]["configuration"] == likeliest["configuration"]


def test_masks_as_sold_alone() -> None:
    printed = as_json("--own", "brodipim=64")
    assert not any("+" in row["configuration"] for row in (*printed["ranked"], *printed["try_first"]))
    assert "+" in printed["best_changed"]["configuration"]
    assert not any("+" in name for name in printed["tells_most"])
    limits = [row["low"] for row in printed["ranked"]]
    assert limits == sorted(limits, reverse=True)


def test_a_face_below_the_panel_gets_no_list() -> None:
    printed = as_json("--length", "90", "--width", "110", "--own", "brodipim=64")
    assert (printed["basis"], printed["ranked"], printed["tells_most"]) == ("none", [], [])


def test_text_says_it_back(demo: Dataset) -> None:
    lines = run(
        "--cell", "4", "--own", "brodipim=64:one-exercise", "--own", "other:cup=passed:taste"
    ).output.splitlines()
    assert lines[:3] == [
        "What you told:",
        "- Brodipim, as sold: a fit factor of 64 (One exercise, condensation counter).",
        "- another mask (cup): passed a fit test by taste; of the masks that do not reach 100, "
        "11 % pass it all the same.",
    ]
    assert any(line.split("  ")[0] == "Configuration" and "before you told" in line for line in lines)
    assert any(line.endswith(" would tell most about you.") for line in lines)


def test_without_chances_it_changes_nothing(tmp_path: Any) -> None:
    result = CliRunner().invoke(command, ["--entries", str(tmp_path), "--own", "other:cup=64"])
    assert result.exit_code == 0, result.output
    assert result.output.splitlines()[:3] == [
        "What you told:",
        "- another mask (cup): a fit factor of 64.",
        "Without chances it changes nothing in this list.",
    ]
