"""`sealbook counts`: from a log to fit factors, a chart, an entry."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.commands import asking
from builder.records.checking import check
from builder.records.overall import overall
from tests.records import logs, samples

WHO = ["--mask", "drum-cup", "--date", "2026-09-12", "--contributor", "grey-bench", "--wearer", "blue-heron"]
WHO += ["--facial-hair", "none"]


def counts(*arguments: object) -> Result:
    return CliRunner().invoke(main, ["counts", *map(str, arguments)])


@pytest.fixture
def run(tmp_path: Path) -> Path:
    return logs.write(tmp_path, logs.short_run())


def test_the_figures_as_a_table(run: Path) -> None:
    """The limits agree with SciPy's `binomtest` on 24,828 ambient particles, which carry what 20 and 9 s tell."""
    result = counts(run)
    assert result.exit_code == 0
    assert result.output == (
        "exercise           fit factor  95 % interval  seconds  particles\n"
        "Bending over               50   46.1 to 54.3       30        600\n"
        "Talking                   100    89.2 to 112       30        300\n"
        "Head side to side         200     170 to 236       30        150\n"
        "Head up and down          200     170 to 236       30        150\n"
        "overall                   100    94.4 to 106\n"
        "\n"
        "The interval is that of counting alone.\n"
        "\n"
        "A counter that works with alcohol stands away from flames, candles too.\n"
        "Nobody shares a tested mask; disinfect hose and probe between people.\n"
        "No smoking in the half hour before a test.\n"
        "Publish another person's face and readings only with their consent.\n"
    )


def test_json_has_the_keys_that_programs_rely_on(run: Path) -> None:
    printed = json.loads(counts(run, "--format", "json").output)
    assert list(printed) == ["fit_factor", "low95", "high95", "at_least", "exercises", "warnings"]
    assert list(printed["exercises"][0]) == [
        "name",
        "fit_factor",
        "low95",
        "high95",
        "at_least",
        "seconds",
        "particles",
        "counted",
    ]
    assert printed["fit_factor"] == pytest.approx(100)
    assert printed["exercises"][1]["name"] == "talking"
    assert printed["exercises"][1]["particles"] == 300
    assert printed["warnings"] == []


def test_no_particle_is_at_least_and_its_upper_limit_is_null(tmp_path: Path) -> None:
    printed = json.loads(counts(logs.write(tmp_path, logs.short_run(in_mask=(0, 0, 0, 0))), "--format", "json").output)
    assert printed["at_least"] is True
    assert printed["high95"] is None
    assert printed["fit_factor"] == printed["low95"]
    assert "≥" in counts(logs.write(tmp_path, logs.short_run(in_mask=(0, 0, 0, 0)))).output


def test_purge_options_drop_the_first_seconds(tmp_path: Path) -> None:
    run = [(20, "ambient", "", 1000), (10, "mask", "talking", 500), (30, "mask", "talking", 10)]
    path = logs.write(tmp_path, logs.text_of([*run, (4, "ambient", "", 9), (20, "ambient", "", 1000)]))
    dropped = json.loads(counts(path, "--purge-mask", 10, "--purge-ambient", 4, "--format", "json").output)
    assert dropped["fit_factor"] == pytest.approx(100)
    assert dropped["exercises"][0]["seconds"] == 30
    assert json.loads(counts(path, "--format", "json").output)["fit_factor"] < 10


def test_warnings_are_printed_and_fine(tmp_path: Path) -> None:
    run = [(20, "ambient", "", 1000), (30, "mask", "talking", 10), (20, "ambient", "", 1500)]
    result = counts(logs.write(tmp_path, logs.text_of(run)))
    assert result.exit_code == 0
    assert "Warning: The ambient level changed ×1.5" in result.output


def test_what_was_warned_of_stands_in_the_entry(tmp_path: Path) -> None:
    run = [(20, "ambient", "", 1000), (30, "mask", "normal-breathing", 10), (20, "ambient", "", 1500)]
    root = samples.write(tmp_path / "entries")
    path = logs.write(tmp_path, logs.text_of(run))
    result = counts(path, "--write", *WHO, "--notes", "Windy outside.", "--entries", root, "--format", "json")
    assert result.exit_code == 0, result.output
    [test] = [record.test for record in check(root).entries.tests if record.id.endswith("2")]
    assert test.observations.notes == " ".join(["Windy outside.", *json.loads(result.stdout)["warnings"]])
    assert "The ambient level changed ×1.5 between two samplings." in test.observations.notes


def test_problems_are_named_with_row_and_column(tmp_path: Path) -> None:
    path = logs.write(tmp_path, "seconds,phase,particles\n1,ambient,x\n2,musk,5\n")
    result = counts(path)
    assert result.exit_code == 1
    assert result.stdout == ""
    assert result.stderr == (
        f'{path} row 2, column particles\n    "x" is no number.\n'
        "    → Write a number with a decimal point, such as 12.5.\n"
        f'{path} row 3, column phase\n    "musk" is no phase.\n    → Did you mean mask?\n'
    )
    printed = json.loads(counts(path, "--format", "json").stdout)
    assert [(problem["row"], problem["column"]) for problem in printed["problems"]] == [(2, "particles"), (3, "phase")]


def test_a_log_that_gives_no_fit_factor_is_a_problem(tmp_path: Path) -> None:
    result = counts(logs.write(tmp_path, "seconds,phase,particles\n1,ambient,5\n"))
    assert result.exit_code == 1
    assert "A run needs a mask phase other than the grimace." in result.stderr


def test_standard_input(run: Path, tmp_path: Path) -> None:
    piped = CliRunner().invoke(main, ["counts", "-"], input=run.read_bytes())
    assert (piped.exit_code, piped.output) == (0, counts(run).output)
    chart = tmp_path / "run.html"
    CliRunner().invoke(main, ["counts", "-", "--chart", str(chart)], input=run.read_bytes())
    assert "<h1>Run standard input</h1>" in chart.read_text(encoding="utf-8")
    result = CliRunner().invoke(main, ["counts", "-"], input=b"seconds,phase,particles\n1,musk,5\n")
    assert result.exit_code == 1
    assert result.stderr.startswith("standard input row 2, column phase\n")


def test_a_column_can_be_chosen(tmp_path: Path) -> None:
    rows = "".join(f"{s},{'ambient' if s <= 20 else 'mask'},{n},{n * 2}\n" for s, n in enumerate([900] * 20 + [9] * 30))
    path = logs.write(tmp_path, f"Time (s),Phase,Size 0.3,Size 0.5\n{rows}")
    result = counts(path)
    assert result.exit_code == 1
    assert result.stderr == (
        f"{path} row 1\n    There is no column of particles.\n"
        '    → If "Size 0.3" is it, give --column "Size 0.3", or name it particles or concentration.\n'
    )
    for column in ("size 0.5", "4"):
        printed = json.loads(counts(path, "--column", column, "--format", "json").output)
        assert printed["fit_factor"] == pytest.approx(100, rel=0.1)
        assert printed["exercises"][0]["particles"] == 522
    assert counts(path, "--column", "Size 5").stderr.endswith(
        '→ The columns are: "Time (s)", "Phase", "Size 0.3", "Size 0.5".\n'
    )


def test_a_schedule_cuts_a_log_of_time_and_counts(tmp_path: Path) -> None:
    levels = [996 + at % 9 for at in range(25)] + [5] * 71 + [996 + at % 9 for at in range(14)]
    path = logs.write(tmp_path, "time,count\n" + "".join(f"{at},{n}\n" for at, n in enumerate(levels, 1)))
    result = counts(path)
    assert result.stderr.endswith(
        "The column phase is missing.\n"
        "    → Add the column phase, or say by --schedule when room air and mask were sampled.\n"
    )
    chart = tmp_path / "run.html"
    result = counts(path, "--schedule", "one-exercise", "--chart", chart)
    assert result.exit_code == 0, result.output
    cut = (
        "Cut by the schedule, which begins 15 s into the log. See whether the level steps where the phases change.\n"
        "phase             from s  to s  mean level\n"
        "purge                  0    15           –\n"
        "ambient               15    25       1\u202f000\n"
        "purge                 25    36           –\n"
        "Normal breathing      36    96           5\n"
        "purge                 96   100           –\n"
        "ambient              100   110       1\u202f000\n"
    )
    assert cut in result.output
    assert "begins 15 s into the log" in chart.read_text(encoding="utf-8")
    printed = json.loads(counts(path, "--schedule", "one-exercise", "--format", "json").output)
    assert printed["fit_factor"] == pytest.approx(200, rel=1e-3)
    assert printed["cut"][3] == {"phase": "mask", "exercise": "normal-breathing", "from_s": 36, "to_s": 96}
    longer = "ambient 20, purge 12, mask nodding 30, mask talk 29, purge 4, ambient 9"
    printed = json.loads(counts(path, "--schedule", longer, "--format", "json").output)
    assert [exercise["name"] for exercise in printed["exercises"]] == ["head-up-and-down", "talking"]
    assert printed["warnings"] == []
    printed = json.loads(counts(path, "--schedule", "eight-exercise", "--format", "json").output)
    assert printed["warnings"][0].startswith("The schedule does not fit the steps of the log: ")
    assert counts(path, "--schedule", "ambient 5").exit_code == 2


def test_readings_of_weight_or_of_nought_make_an_entry_of_their_fit_factor(tmp_path: Path) -> None:
    """Neither is a number of particles that a stretch of an entry could hold."""
    for header, in_mask, fit_factor, at_least in (("Dust (ug/m3)", "0.5", 200, False), ("Conc. (#/cc)", "0", 99, True)):
        air = [f"{99 + at % 3}" for at in range(21)]
        texts = (
            [("room", text) for text in air] + [("breathe normally", in_mask)] * 60 + [("room", text) for text in air]
        )
        rows = "".join(f"{at},{phase},{text}\n" for at, (phase, text) in enumerate(texts, 1))
        if at_least:
            rows += f"{len(texts) + 1},purge,1.0101\n"
        root = samples.write(tmp_path / header[:4] / "entries")
        path = logs.write(tmp_path, f"Time (s),Phase,{header}\n{rows}")
        result = counts(path, "--write", *WHO, "--entries", root)
        assert result.exit_code == 0, result.output
        [test] = [record.test for record in check(root).entries.tests if record.id.endswith("2")]
        assert test.result.counts == ()
        assert test.result.fit_factor == pytest.approx(fit_factor, rel=1e-3)
        assert test.result.at_least == at_least


def test_a_file_that_is_not_there_is_wrong_usage(tmp_path: Path) -> None:
    assert counts(tmp_path / "gone.csv").exit_code == 2
    assert counts(tmp_path).exit_code == 2


def test_help_explains_the_columns() -> None:
    text = counts("--help").output
    for column in ("seconds", "phase", "exercise", "particles", "concentration", "flow_cm3_s"):
        assert f"\n    {column} " in text


def test_the_chart_is_written_and_not_over_a_file(run: Path, tmp_path: Path) -> None:
    chart = tmp_path / "run.html"
    assert counts(run, "--chart", chart).exit_code == 0
    page = chart.read_text(encoding="utf-8")
    assert "Talking" in page
    chart.write_text("mine", encoding="utf-8")
    result = counts(run, "--chart", chart)
    assert result.exit_code == 2
    assert "is there already" in result.output
    assert chart.read_text(encoding="utf-8") == "mine"
    assert counts(run, "--chart", chart, "--force").exit_code == 0
    assert chart.read_text(encoding="utf-8") == page
    assert counts(run, "--chart", tmp_path / "gone" / "run.html").exit_code == 1


def test_the_entry_gives_the_same_fit_factor(run: Path, tmp_path: Path) -> None:
    root = samples.write(tmp_path / "entries")
    result = counts(
        run, "--write", *WHO, "--nose-foam", "none", "--leaks", "nose", "--entries", root, "--format", "json"
    )
    assert result.exit_code == 0, result.output
    path = "tests/drum-cup/2026-09-12-blue-heron-2.toml"
    assert result.stderr == f"wrote {root}/{path}\n"
    checked = check(root)
    assert checked.problems == []
    [test] = [record.test for record in checked.entries.tests if record.path == path]
    printed = json.loads(result.stdout)
    assert overall(test.result).fit_factor == printed["fit_factor"]
    assert [c.particles for c in test.result.counts] == [20_000, 600, 300, 150, 150, 9000]
    assert test.result.protocol == "short-four-exercise"
    assert (test.face.length_mm, test.face.width_mm, test.face.nose_bridge) == (117, 138, "high")


@pytest.mark.parametrize("in_mask", [(0, 0, 0, 0), (0, 3, 0, 0)])
@pytest.mark.parametrize("measure", ["particles", "concentration,flow_cm3_s"])
def test_the_entry_agrees_whatever_was_counted(tmp_path: Path, in_mask: tuple[int, ...], measure: str) -> None:
    text = logs.short_run(in_mask)
    if measure != "particles":
        header, *rows = text.splitlines()
        rows = [f"{row.rpartition(',')[0]},{int(row.rpartition(',')[2]) / 1.7},1.7" for row in rows]
        text = "\n".join((header.replace("particles", measure), *rows))
    root = samples.write(tmp_path / "entries")
    result = counts(logs.write(tmp_path, text), "--write", *WHO, "--entries", root, "--format", "json")
    assert result.exit_code == 0, result.output
    [test] = [record.test for record in check(root).entries.tests if record.id.endswith("2")]
    read, printed = overall(test.result), json.loads(result.stdout)
    assert (read.fit_factor, read.at_least) == (printed["fit_factor"], printed["at_least"])


def test_an_entry_needs_more_than_the_log(run: Path, tmp_path: Path) -> None:
    root = samples.write(tmp_path / "entries")
    result = counts(run, "--write", "--mask", "drum-cup", "--comfort", "9", "--entries", root)
    assert result.exit_code == 2
    for option in ("--date", "--contributor", "--wearer", "--facial-hair", "--comfort"):
        assert f"  {option}: " in result.output
    assert len(list(root.rglob("*.toml"))) == 3


def test_an_entry_with_a_problem_is_not_written(run: Path, tmp_path: Path) -> None:
    root = samples.write(tmp_path / "entries")
    result = counts(run, "--write", *WHO, "--nose-foam", "thick-foam", "--entries", root)
    assert result.exit_code == 1
    assert "There is no part thick-foam" in result.output
    assert "Nothing was written." in result.output
    assert len(list(root.rglob("*.toml"))) == 3


def test_what_an_entry_says_needs_write(run: Path) -> None:
    result = counts(run, "--mask", "drum-cup")
    assert result.exit_code == 2
    assert "Without --write" in result.output


def test_no_entries_are_needed_to_read_a_log(run: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert counts(run).exit_code == 0
    result = counts(run, "--write", *WHO)
    assert result.exit_code == 2
    assert "There is no folder entries to add to." in result.output


def test_the_log_itself_is_never_written_over(run: Path) -> None:
    before = run.read_bytes()
    assert counts(run, "--chart", run, "--force").exit_code == 2
    assert run.read_bytes() == before


def test_somebody_at_a_terminal_is_asked_for_what_the_entry_lacks(
    run: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = samples.write(tmp_path / "entries")
    monkeypatch.setattr(asking, "at_terminal", lambda: True)
    asked = ["counts", str(run), "--write", "--entries", str(root)]
    result = CliRunner().invoke(main, asked, input="dr\n12.9.2026\ngrey-bench\nblue-heron\nas\n\n")
    assert result.exit_code == 0, result.output
    assert "protocol" not in result.output  # the log's exercises say it
    [test] = [record.test for record in check(root).entries.tests if record.test.result.counts]
    assert (test.mask, str(test.date), test.result.protocol) == ("drum-cup", "2026-09-12", "short-four-exercise")
    assert test.configuration.filled() == ()


def test_a_planned_test_is_filled(run: Path, tmp_path: Path) -> None:
    root = samples.write(tmp_path / "entries")
    path = root / samples.TEST_PATH
    planned, _, _ = samples.TEST.replace('nose-foam = "none"', "").partition("\n[[result.exercise]]")
    path.write_text(planned + "\n[conditions]\nhelped = true\n")
    result = counts(run, "--write", *WHO, "--entries", root)
    assert result.exit_code == 0, result.output
    [record] = check(root).entries.tests
    assert record.path == samples.TEST_PATH
    assert round(overall(record.test.result).fit_factor) == 100
    assert record.test.conditions.helped
