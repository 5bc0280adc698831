"""`sealbook check`: what it prints and how it ends."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import VERBS, main
from tests.records import samples

REPOSITORY = Path(__file__).parent.parent.parent
WRONG_COMFORT = samples.TEST.replace("comfort = 4", "comfort = 9")
STUBBLE = samples.TEST.replace('facial_hair = "none"', 'facial_hair = "stubble"')


def sealbook(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def check(root: Path, *arguments: object) -> Result:
    return sealbook("check", "--entries", root, *arguments)


def test_nothing_wrong(tmp_path: Path) -> None:
    result = check(samples.write(tmp_path))
    assert (result.exit_code, result.output) == (0, "3 files, no problems\n")


def test_something_wrong(tmp_path: Path) -> None:
    result = check(samples.write(tmp_path, {samples.TEST_PATH: WRONG_COMFORT, samples.PART_PATH: "x"}))
    assert result.exit_code == 1
    assert result.output == (
        f"{tmp_path}/{samples.PART_PATH}:1 error syntax\n"
        "    A key needs an equals sign and a value. The line reads: x\n"
        "    → Write key = value.\n"
        f"{tmp_path}/{samples.TEST_PATH}:41 error value-range  observations.comfort\n"
        "    9 is above 5.\n"
        "    → Write 5 or less.\n"
        "2 problems in 2 files\n"
    )


def test_a_warning_is_shown_and_is_fine(tmp_path: Path) -> None:
    result = check(samples.write(tmp_path, {samples.TEST_PATH: STUBBLE}))
    assert result.exit_code == 0
    assert result.output.endswith("\n1 problem in 1 file (1 warning)\n")


def test_json_is_nothing_but_json(tmp_path: Path) -> None:
    samples.write(tmp_path, {samples.TEST_PATH: WRONG_COMFORT})
    result = check(tmp_path, "--format", "json")
    assert result.exit_code == 1
    assert json.loads(result.output) == [
        {
            "path": f"{tmp_path}/{samples.TEST_PATH}",
            "line": 41,
            "key": "observations.comfort",
            "severity": "error",
            "rule": "value-range",
            "problem": "9 is above 5.",
            "remedy": "Write 5 or less.",
        }
    ]
    assert json.loads(check(samples.write(tmp_path), "--format", "json").output) == []


def test_github_remarks_are_followed_by_the_text_and_the_total(tmp_path: Path) -> None:
    result = check(samples.write(tmp_path, {samples.TEST_PATH: WRONG_COMFORT}), "--format", "github")
    assert result.exit_code == 1
    assert result.output == (
        f"::error file={tmp_path}/{samples.TEST_PATH},line=41,title=value-range::"
        "observations.comfort: 9 is above 5.%0AWrite 5 or less.\n"
        f"{tmp_path}/{samples.TEST_PATH}:41 error value-range  observations.comfort\n"
        "    9 is above 5.\n"
        "    → Write 5 or less.\n"
        "1 problem in 1 file\n"
    )


def test_paths_choose_files(tmp_path: Path) -> None:
    samples.write(tmp_path, {samples.TEST_PATH: WRONG_COMFORT})
    assert check(tmp_path, tmp_path / "masks", tmp_path / samples.PART_PATH).output == "2 files, no problems\n"
    assert check(tmp_path, tmp_path / samples.TEST_PATH).exit_code == 1
    assert check(tmp_path, tmp_path).exit_code == 1
    assert check(tmp_path, tmp_path / "tests/../masks").output == "1 file, no problems\n"


def test_a_path_by_itself_is_warned_of_as_among_all_files() -> None:
    """By what a contributor gave on other wearers' faces, and the second time from memory."""
    root = REPOSITORY / "tests/broken/unmarked-ceiling/entries"
    whole = check(root).output.splitlines()[:-1]
    path = whole[0].partition(":")[0]
    outputs = [check(root, path).output.splitlines()[:-1] for _ in range(2)]
    assert outputs[0] == outputs[1]
    assert whole[0] in outputs[0]
    assert set(outputs[0]) <= set(whole)


def test_paths_are_as_seen_from_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    samples.write(tmp_path / "entries", {samples.TEST_PATH: WRONG_COMFORT})
    monkeypatch.chdir(tmp_path)
    result = sealbook("check", f"entries/{samples.TEST_PATH}")
    assert result.output.startswith(f"entries/{samples.TEST_PATH}:41 error value-range")


def test_fix_does_what_it_can_and_reports_the_rest(tmp_path: Path) -> None:
    untidy = samples.PART.replace("nose-foam", "Nose Foam")
    samples.write(tmp_path, {samples.PART_PATH: untidy, samples.TEST_PATH: WRONG_COMFORT})
    result = check(tmp_path, "--fix")
    assert result.exit_code == 1
    assert result.output == (
        f'{tmp_path}/{samples.PART_PATH}: wrote "nose-foam" for slot\n'
        f"{tmp_path}/{samples.TEST_PATH}:41 error value-range  observations.comfort\n"
        "    9 is above 5.\n"
        "    → Write 5 or less.\n"
        "1 problem in 1 file\n"
    )


def test_fix_follows_a_file_that_it_moves(tmp_path: Path) -> None:
    samples.write(tmp_path)
    misnamed = tmp_path / "tests/drum-cup/2026-09-13-blue-heron-1.toml"
    (tmp_path / samples.TEST_PATH).rename(misnamed)
    result = check(tmp_path, misnamed, "--fix")
    assert result.output == f"{misnamed}: moved to {samples.TEST_PATH}\n1 file, no problems\n"
    assert result.exit_code == 0


def test_fix_keeps_json_apart(tmp_path: Path) -> None:
    samples.write(tmp_path, {samples.PART_PATH: samples.PART.replace("nose-foam", "Nose Foam")})
    result = check(tmp_path, "--fix", "--format", "json")
    assert json.loads(result.stdout) == []
    assert 'wrote "nose-foam"' in result.stderr


@pytest.mark.parametrize(
    "arguments, complaint",
    [
        (["check", "--entries", "gone"], "Directory 'gone' does not exist"),
        (["check", "gone.toml"], "Path 'gone.toml' does not exist"),
        (["check", "outside.toml"], "outside.toml does not lie in the entries folder entries."),
        (["check", "--format", "xml"], "'xml' is not one of"),
        (["chek"], "No such command 'chek'"),
    ],
)
def test_wrong_usage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], complaint: str) -> None:
    samples.write(tmp_path / "entries")
    (tmp_path / "outside.toml").touch()
    monkeypatch.chdir(tmp_path)
    result = sealbook(*arguments)
    assert result.exit_code == 2
    assert complaint in result.output


def python(*arguments: object, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *map(str, arguments)],
        cwd=REPOSITORY,
        env={**os.environ, "PYTHONWARNINGS": "error", **environment},
        capture_output=True,
        encoding="utf-8",
        errors="replace",
        check=False,
    )


@pytest.mark.parametrize("encoding, arrow", [("latin-1", "\\u2192"), ("ascii", "→"), ("utf-8", "→")])
def test_it_runs_as_a_module_wherever_it_prints_to(tmp_path: Path, encoding: str, arrow: str) -> None:
    samples.write(tmp_path, {samples.TEST_PATH: WRONG_COMFORT, "parts/no-ünits.toml": samples.PART})
    done = python("-m", "builder", "check", "--entries", tmp_path, LANG="C", LC_ALL="C", PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (1, "")
    assert f"    {arrow} Write 5 or less.\n2 problems in 2 files\n" in done.stdout


def test_the_overview_imports_nothing_heavy() -> None:
    heavy = {"pydantic", "numpy", "pandas", "scipy", "plotly", "mkdocs"}
    done = python(
        "-c",
        "import sys\nfrom builder.cli import main\n"
        "main(['--help'], standalone_mode=False)\n"
        f"print(sorted({heavy} & set(sys.modules)))",
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_the_check_of_a_typed_value_imports_no_science() -> None:
    done = python(
        "-c",
        "import sys\nimport builder.records.checking\nprint(sorted({'numpy', 'pandas', 'scipy'} & set(sys.modules)))",
    )
    assert done.stdout == "[]\n"


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_explains_itself_with_an_example(verb: str) -> None:
    overview, own = sealbook("--help").output, sealbook(verb, "--help").output
    assert own.startswith(f"Usage: main {verb} ")
    assert re.search(r"Examples?:\s+sealbook", own)
    # The overview's line is the first of the verb's own help, so the two cannot drift apart.
    assert " ".join(VERBS[verb].help.split()) in " ".join(own.split())
    assert VERBS[verb].help.split()[0] in overview


def test_the_version_is_told() -> None:
    result = sealbook("--version")
    assert result.exit_code == 0
    assert result.output.startswith("sealbook")
