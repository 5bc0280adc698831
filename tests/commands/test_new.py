"""`sealbook new`: a new test, mask or part, asking only for what is needed."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.commands import asking
from builder.records.checking import check
from builder.records.overall import overall
from tests.records import samples

TEST = ["--mask", "drum-cup", "--date", "2026-09-12", "--contributor", "grey-bench", "--wearer", "blue-heron"]
TEST += ["--facial-hair", "none", "--protocol", "free"]
MASK = ["--model", "Kettle", "--maker", "Example Works", "--style", "cup", "--class", "ffp2"]
PART = ["--name", "Soft foam", "--slot", "nose-foam", "--material", "foam", "--fitting", "Glued in.", "--can-be-undone"]
SECOND = "tests/drum-cup/2026-09-12-blue-heron-2.toml"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return samples.write(tmp_path)


def new(root: Path, *arguments: str, answers: str | None = None) -> Result:
    return CliRunner().invoke(main, ["new", *arguments, "--entries", str(root)], input=answers)


def written(root: Path) -> int:
    return len(list(root.rglob("*.toml"))) - 3


def test_a_test_from_options(root: Path) -> None:
    result = new(root, "test", *TEST, "--fit-factor", "64", "--no-fogging", "--leaks", "nose+chin", "--comfort", "3")
    assert result.exit_code == 0, result.output
    assert result.output == f"wrote {root}/{SECOND}\ndrum-cup on blue-heron\n"
    checked = check(root)
    assert checked.problems == []
    test = checked.entries.tests[1].test
    assert (test.face.length_mm, test.face.width_mm, test.face.nose_bridge) == (117, 138, "high")
    assert test.observations.fogging is False
    assert test.observations.touches_eyes is None


def test_exercises_instead_of_the_overall_value(root: Path) -> None:
    exercises = [f"--exercise={text}" for text in ("Talking=50", "bending-over=100+", "grimace")]
    assert new(root, "test", *TEST, *exercises).exit_code == 0
    read = overall(check(root).entries.tests[1].test.result)
    assert read.fit_factor == pytest.approx(66.666667)
    assert read.at_least


def test_an_exercise_without_a_number_is_wrong_usage(root: Path) -> None:
    result = new(root, "test", *TEST, "--exercise", "talking=many")
    assert result.exit_code == 2
    assert "Write talking=120" in result.output
    assert new(root, "test", *TEST, "--exercise", "tolking=5").exit_code == 2
    assert written(root) == 0


def test_all_that_is_missing_is_named_at_once(root: Path) -> None:
    result = new(root, "test", "--mask", "drum-cup")
    assert result.exit_code == 2
    for option in ("--date", "--contributor", "--wearer", "--facial-hair", "--protocol", "--fit-factor"):
        assert f"\n  {option}: " in result.output
    assert "--facial-hair: none, clear-of-seal, stubble, beard" in result.output
    assert "--mask: " not in result.output


def test_all_that_cannot_be_used_is_named_at_once(root: Path) -> None:
    result = new(root, "test", *TEST, "--fit-factor", "0,5", "--comfort", "9", "--aerosol", "sald")
    assert result.exit_code == 2
    for option in ("--fit-factor", "--comfort", "--aerosol"):
        assert f"\n  {option}: " in result.output
    assert written(root) == 0


def test_what_the_checker_refuses_is_not_written(root: Path) -> None:
    result = new(
        root, "test", *TEST, "--fit-factor", "64", "--mask", "drum-cap", "--width-mm", "140", "--length-mm", "117"
    )
    assert result.exit_code == 1
    assert 'Did you mean "drum-cup"?' in result.output
    assert "140 mm" in result.output
    assert result.output.endswith("Nothing was written.\n")
    assert written(root) == 0


def test_a_warning_is_shown_and_is_fine(root: Path) -> None:
    result = new(root, "test", *TEST, "--fit-factor", "64", "--facial-hair", "stubble")
    assert result.exit_code == 0
    assert "warning hair-at-seal" in result.output
    assert written(root) == 1


def test_a_mask_and_its_size(root: Path) -> None:
    result = new(root, "mask", *MASK, "--size", "S/M", "--filter-penetration-percent", "2")
    assert (result.exit_code, result.output) == (0, f"wrote {root}/masks/kettle-s-m.toml\n")
    assert check(root).problems == []


def test_a_part(root: Path) -> None:
    result = new(root, "part", *PART, "--cautions", "One.", "--cautions", "Two.")
    assert (result.exit_code, result.output) == (0, f"wrote {root}/parts/soft-foam.toml\n")
    part = check(root).entries.parts["soft-foam"].part
    assert (part.can_be_undone, part.cautions) == (True, ("One.", "Two."))


def test_nothing_is_overwritten(root: Path) -> None:
    result = new(root, "part", *PART, "--id", "thin-foam")
    assert result.exit_code == 2
    assert "is there already; nothing was written." in result.output
    assert (root / samples.PART_PATH).read_text() == samples.PART


@pytest.mark.parametrize("own_id", ["../x", "con", "A B", "none"])
def test_an_id_is_one(root: Path, own_id: str) -> None:
    assert new(root, "part", *PART, "--id", own_id).exit_code == 2
    assert written(root) == 0


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asking, "at_terminal", lambda: True)


@pytest.mark.usefixtures("terminal")
def test_it_asks_for_what_is_missing_until_it_can_be_used(root: Path) -> None:
    answers = "kettle\ndrum\n12/9/26\n2026-09-12\ngrey-bench\nblue-heron\nthick\nthin-f\n\nsh\n0,5\n64,5\n"
    result = new(root, "test", answers=answers)
    assert result.output.count("Error: ") == 4, result.output
    assert "Error: There is no mask kettle. Known: drum-cup.\n" in result.output
    assert "Error: 12/9/26 could be " in result.output
    assert "Error: There is no part thick. Known: thin-foam.\n" in result.output
    assert "facial_hair (none, clear-of-seal, stubble, beard) [none]: \n" in result.output  # as in the last test
    assert "Error: 0.5 is below 1." in result.output
    assert "length_mm" not in result.output  # the face is known


@pytest.mark.usefixtures("terminal")
def test_short_answers_make_the_entry(root: Path) -> None:
    result = new(root, "test", answers="d\n2026-09-12\ngrey-bench\nblue-heron\nnose-foam=none\n\nsh\n31,5\n")
    assert result.exit_code == 0, result.output
    test = check(root).entries.tests[1].test
    assert test.face.length_mm == 117
    assert test.result.protocol == "short-four-exercise"
    assert test.result.fit_factor == 31.5
    assert test.configuration.filled() == (("nose-foam", "none"),)


@pytest.mark.usefixtures("terminal")
def test_today_and_the_last_answers_are_offered(root: Path) -> None:
    first = new(root, "test", *TEST, "--fit-factor", "64")
    assert first.exit_code == 0, first.output
    second = new(root, "test", answers="\n\n\n\n\n\n\n70\n")
    assert second.exit_code == 0, second.output
    assert "contributor (A pseudonym, not a name, handle or address) [grey-bench]: \n" in second.output
    today = date.today()
    assert f"wrote {root}/tests/drum-cup/{today}-blue-heron-1.toml" in second.output
    third = new(root, "test", answers="\nyesterday\n\n\n\n\n\n80\n")
    assert third.exit_code == 0, third.output
    assert f"{today - timedelta(days=1)}-blue-heron-1.toml" in third.output


@pytest.mark.usefixtures("terminal")
def test_it_asks_for_the_face_of_a_new_wearer(root: Path) -> None:
    options = [*TEST[:6], "--wearer", "red-fox", *TEST[8:], "--fit-factor", "64"]
    result = new(root, "test", *options, answers="112,5\n131\n\n")
    assert result.exit_code == 0, result.output
    [face] = [record.test.face for record in check(root).entries.tests if record.test.face.wearer == "red-fox"]
    assert (face.length_mm, face.width_mm, face.nose_bridge) == (112.5, 131, None)


@pytest.mark.usefixtures("terminal")
def test_breaking_off_writes_nothing(root: Path) -> None:
    result = new(root, "mask", answers="Kettle\n")
    assert result.exit_code == 1
    assert "Aborted!" in result.output
    assert written(root) == 0


@pytest.mark.parametrize("kind", ["test", "mask", "part"])
def test_each_kind_explains_itself_with_an_example(kind: str) -> None:
    assert "Example: sealbook new" in CliRunner().invoke(main, ["new", kind, "--help"]).output


def test_a_planned_test_is_filled(root: Path) -> None:
    planned, _, _ = samples.TEST.replace('nose-foam = "none"', "").partition("\n[[result.exercise]]")
    (root / samples.TEST_PATH).write_text(planned)
    assert new(root, "test", *TEST, "--fit-factor", "64").exit_code == 0
    [record] = check(root).entries.tests
    assert (record.path, record.test.result.fit_factor) == (samples.TEST_PATH, 64)
