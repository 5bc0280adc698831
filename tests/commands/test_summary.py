"""`sealbook summary` prints the figures of the site in three forms."""

from __future__ import annotations

import csv
import io
import json
import statistics
from pathlib import Path

import pytest
from click.testing import CliRunner

from builder.cli import main
from builder.findings.dataset import Dataset
from tests.conftest import ROOT
from tests.records import samples

KEYS = [
    "configuration",
    "mask",
    "parts",
    "tests",
    "wearers",
    "set_aside",
    "median_fit_factor",
    "median_at_least",
    "lowest_fit_factor",
    "highest_fit_factor",
    "highest_at_least",
    "geometric_mean",
    "geometric_mean_at_least",
    "gsd",
    "til_percent",
    "wearer_median_fit_factor",
    "wearer_median_at_least",
    "share_at_100",
    "share_at_100_low",
    "share_at_100_high",
    "share_wearers",
    "comfortable",
    "comfortable_tests",
    "hard_to_breathe",
    "hard_to_breathe_tests",
    "touches_eyes_share",
    "touches_eyes_share_tests",
    "fogging_share",
    "fogging_share_tests",
    *(f"leak_{place}{n}" for place in ("nose", "left_cheek", "right_cheek", "chin") for n in ("", "_tests")),
    "every_exercise_at_100",
    "every_exercise_at_100_tests",
    "lowest_exercise",
    "lowest_exercise_fit_factor",
    "seats_filled",
    "seats_at_100",
    "seats_open",
]


def run(*arguments: str) -> str:
    result = CliRunner().invoke(main, ["summary", "--entries", str(ROOT / "entries"), *arguments])
    assert result.exit_code == 0, result.output
    return result.stdout


def test_json_holds_every_configuration_with_its_keys(demo: Dataset) -> None:
    rows = json.loads(run("--format", "json"))
    assert [row["configuration"] for row in rows] == demo.summary["configuration"].tolist()
    assert all(list(row) == KEYS for row in rows)


def test_the_median_is_what_anyone_finds_from_the_tests(demo: Dataset) -> None:
    rows = {row["configuration"]: row for row in json.loads(run("--format", "json"))}
    exact = demo.counted.groupby("configuration").filter(lambda own: not own["at_least"].any())
    assert exact["configuration"].nunique() > 10
    for configuration, own in exact.groupby("configuration"):
        assert rows[configuration]["median_fit_factor"] == pytest.approx(statistics.median(own["fit_factor"]))
        assert rows[configuration]["til_percent"] == pytest.approx(100 / statistics.median(own["fit_factor"]))


def test_what_wearers_noticed_stands_beside_as_shares_with_their_number(demo: Dataset) -> None:
    rows = {row["configuration"]: row for row in json.loads(run("--format", "json"))}
    told = 0
    for configuration, own in demo.counted.groupby("configuration"):
        row, rated = rows[configuration], own["comfort"].dropna()
        assert row["comfortable_tests"] == len(rated)
        if len(rated):
            assert row["comfortable"] == pytest.approx((rated >= 4).mean())
            told += 1
        else:
            assert row["comfortable"] is None
        cells = own.groupby("wearer")["cell"].first().value_counts()
        seats = {"4": 5, "7": 4}
        assert row["seats_filled"] == sum(min(n, seats.get(str(c), 2)) for c, n in cells.items() if str(c).isdigit())
    assert told > 10


def test_where_nothing_counts_all_seats_are_open(tmp_path: Path) -> None:
    root = samples.write(tmp_path)
    protocol = 'protocol = "short-four-exercise"'
    aside = samples.TEST.replace(protocol, f'{protocol}\nset_aside = "The hose came off."')
    (root / samples.TEST_PATH).write_text(aside)
    printed = CliRunner().invoke(main, ["summary", "--entries", str(root), "--format", "json"]).stdout
    (row,) = json.loads(printed)
    assert (row["tests"], row["comfortable"], row["comfortable_tests"], row["seats_filled"]) == (0, None, 0, 0)
    assert row["seats_open"] == "1×2+2×2+3×2+4×5+5×2+6×2+7×4+8×2+9×2+10×2"


def test_csv_and_text_hold_as_many_rows(demo: Dataset) -> None:
    assert len(list(csv.DictReader(io.StringIO(run("--format", "csv"))))) == len(demo.summary)
    assert len(run().splitlines()) == 1 + len(demo.summary)


def test_best_first_goes_by_the_lower_limit_with_few_faces_last(demo: Dataset) -> None:
    rows = [row for row in json.loads(run("--best-first", "--format", "json")) if row["share_wearers"]]
    several = [row["wearers"] >= 3 for row in rows]
    assert several == sorted(several, reverse=True)
    limits = [row["share_at_100_low"] for row in rows if row["wearers"] >= 3]
    assert limits == sorted(limits, reverse=True)
    assert len(set(several)) == 2
    assert len(run("--best-first").splitlines()) == 1 + len(demo.summary)


def test_narrowed_to_a_method_it_holds_what_was_measured_by_it(demo: Dataset) -> None:
    method = "one-exercise.particle-sensor.all-sizes"
    rows = json.loads(run("--format", "json", "--method", method))
    own = demo.counted[(demo.counted["instrument"] == "particle-sensor")]
    assert sum(row["tests"] for row in rows) == len(own) == 48
    arguments = ["summary", "--entries", str(ROOT / "entries")]
    narrowed = CliRunner().invoke(main, [*arguments, "--method", method])
    name = "One exercise · Particle sensor · All sizes"
    assert narrowed.stderr == f"Only what was measured by {name}: 48 tests on 7 wearers.\n"
    assert CliRunner().invoke(main, arguments).stderr == "Measured in 5 ways, mixed in these figures, on 16 wearers.\n"


def test_a_method_that_nothing_was_measured_by_names_those_there_are() -> None:
    result = CliRunner().invoke(main, ["summary", "--entries", str(ROOT / "entries"), "--method", "free.none.all"])
    assert result.exit_code == 2
    said = " ".join(result.stderr.split())
    assert "No test that counts was measured by free.none.all. Methods here: short-four-exercise." in said
    assert said.endswith("short-four-exercise.condensation-counter.narrow-band.")


def test_wrong_entries_end_with_1_and_every_problem(tmp_path: Path) -> None:
    (tmp_path / "masks").mkdir()
    (tmp_path / "masks" / "cup.toml").write_text("model = 3\n")
    result = CliRunner().invoke(main, ["summary", "--entries", str(tmp_path)])
    assert result.exit_code == 1
    assert "cup.toml:1" in result.stderr
    assert result.stdout == ""


def test_no_tests_is_said(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["summary", "--entries", str(tmp_path)])
    assert (result.exit_code, result.stdout) == (0, "No tests yet.\n")
