"""`sealbook review` in real repositories: what changes, what moves, what looks odd, and every way it can be stopped."""

from __future__ import annotations

import html
import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from tests.conftest import ROOT
from tests.records import samples
from tests.review.repository import commit, git, start

FIRST = samples.TEST_PATH.removesuffix("-1.toml")


def run(entries: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["review", *arguments, "--entries", str(entries)])


def reading(fit_factor: float, number: int, wearer: str = "blue-heron") -> dict[str, str]:
    """A test as sold with only an overall fit factor."""
    head, _, _ = samples.TEST.replace("nose-foam", "# nose-foam").partition("\n[[result.exercise]]")
    path = samples.TEST_PATH.replace("blue-heron-1", f"{wearer}-{number}")
    return {path: f"{head}fit_factor = {fit_factor}\n".replace("blue-heron", wearer)}


def write(root: Path, *files: dict[str, str]) -> None:
    for path, text in (item for some in files for item in some.items()):
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_text(text, encoding="utf-8")


@pytest.fixture
def entries(tmp_path: Path) -> Path:
    """The sample mask as sold with five donnings of one wearer, committed."""
    root = tmp_path / "bench" / "entries"
    write(root, {samples.MASK_PATH: samples.MASK, samples.PART_PATH: samples.PART})
    write(root, *(reading(value, n) for n, value in enumerate((98, 100, 102, 104, 106), start=1)))
    start(root.parent)
    return root


def test_nothing_changes(entries: Path) -> None:
    result = run(entries, "main")
    head = git(entries, "rev-parse", "HEAD")[:10]
    assert (result.exit_code, result.stdout) == (
        0,
        f"## What this changes\n\nThe work tree, beside `main` (`{head}`).\n\nNothing changes in the entries.\n",
    )


def test_a_new_test_moves_the_median_and_is_asked_about(entries: Path) -> None:
    write(entries, reading(5, 6), reading(200, 1, "red-kite"))
    result = run(entries, "main")
    assert result.exit_code == 0, result.output
    head = git(entries, "rev-parse", "HEAD")[:10]
    assert result.stdout == (
        "## What this changes\n\n"
        f"The work tree, with 2 files not committed yet, beside `main` (`{head}`).\n\n"
        "### Worth a second look\n\n"
        "- `drum-cup/2026-09-12-blue-heron-6`: fit factor 5, about 20 times lower than this wearer's 5 other donnings "
        "with it (102); was the hose loose?\n\n"
        "### Entries\n\n"
        "**New: 2 tests**\n\n"
        "| Test | Configuration | Fit factor | Protocol | Face | Known before |\n"
        "|---|---|---|---|---|---|\n"
        "| `drum-cup/2026-09-12-blue-heron-6` | `drum-cup` | **5** | Short, four exercises | cell 4, high bridge "
        "| this wearer **102** (5 tests, 1 wearer); all **102** (5 tests, 1 wearer) |\n"
        "| `drum-cup/2026-09-12-red-kite-1` | `drum-cup` | **200** | Short, four exercises | cell 4, high bridge "
        "| not on this wearer; all **102** (5 tests, 1 wearer) |\n\n"
        "### Published figures that move\n\n"
        "| Median fit factor of | before | after |\n"
        "|---|---|---|\n"
        "| `drum-cup` | **102** (5 tests, 1 wearer) | **102** (7 tests, 2 wearers) |\n\n"
        "No lists of what to try first are compared. "
        "After: Chances on a new face need tests by at least 8 wearers; 2 so far.\n\n"
        "### Faces\n\n"
        "- New: `red-kite`, cell 4, high bridge, 1 test\n"
    )


def test_json_says_the_same(entries: Path) -> None:
    write(entries, reading(5, 6))
    found = json.loads(run(entries, "main", "--format", "json").stdout)
    assert [change["id"] for change in found["changes"]] == ["drum-cup/2026-09-12-blue-heron-6"]
    assert found["moves"]["medians"][0]["after"] == {"fit_factor": 101, "at_least": False, "tests": 6, "wearers": 1}
    assert found["oddities"][0]["beside"] == "own donnings"
    assert found["compared"]["uncommitted"] == 1
    assert found["compared"]["head"] is None


def test_a_revision_instead_of_the_work_tree(entries: Path) -> None:
    write(entries, reading(5, 6))
    commit(entries.parent, "second")
    write(entries, reading(7, 7))
    result = run(entries, "HEAD~1", "--head", "HEAD")
    assert result.exit_code == 0, result.output
    assert "blue-heron-6" in result.stdout
    assert "blue-heron-7" not in result.stdout
    assert "HEAD" in result.stdout and "work tree" not in result.stdout
    back = run(entries, "HEAD", "--head", "HEAD~1")
    assert "**Removed: 1 test**" in back.stdout


def test_what_the_base_gained_meanwhile_is_no_removal(entries: Path) -> None:
    git(entries, "checkout", "-q", "-b", "side")
    write(entries, reading(99, 6))
    commit(entries.parent, "side")
    git(entries, "checkout", "-q", "main")
    write(entries, reading(99, 1, "red-kite"))
    commit(entries.parent, "main")
    git(entries, "checkout", "-q", "side")
    for arguments in (["main"], ["main", "--head", "side"]):
        result = run(entries, *arguments)
        assert result.exit_code == 0, result.output
        assert "where it parted from `main`" in result.stdout
        assert "blue-heron-6" in result.stdout
        assert "red-kite" not in result.stdout


def test_problems_come_first_and_the_rest_is_still_said(entries: Path) -> None:
    broken, sound = reading(1, 7), reading(101, 8)
    write(
        entries, {path: text.replace("fit_factor = 1\n", "fit_factor = 0.1\n") for path, text in broken.items()}, sound
    )
    (entries / "notes.txt").write_text("x")
    result = run(entries, "main")
    assert result.exit_code == 1
    lines = result.stdout.splitlines()
    assert lines[4] == "### Problems: 2 errors"
    assert f"`{entries}/{FIRST}-7.toml` line 18, `value-range` `result.fit_factor`:" in result.stdout
    assert "`unexpected-file`" in result.stdout
    assert "(6 tests, 1 wearer)" in result.stdout


def test_errors_outside_the_changed_files_count_too(entries: Path) -> None:
    (entries / samples.MASK_PATH).unlink()
    result = run(entries, "main")
    assert result.exit_code == 1
    assert "### Problems: 5 errors" in result.stdout
    assert result.stdout.count("`known-mask`") == 5
    assert "| `drum-cup` | **102** (5 tests, 1 wearer) | – |" in result.stdout


def test_a_warning_is_said_and_ends_with_0(entries: Path) -> None:
    write(entries, reading(100, 1, "anna-smith"))
    result = run(entries, "main")
    assert result.exit_code == 0
    assert "### Problems: 1 warning" in result.stdout
    assert "cannot be published" not in result.stdout


def test_planned_tests_are_named_and_are_no_problem(entries: Path) -> None:
    planned = {path: text.replace("fit_factor = 7\n", "") for path, text in reading(7, 6).items()}
    write(entries, planned)
    result = run(entries, "main")
    assert result.exit_code == 0
    assert "Problems" not in result.stdout
    assert "Published figures" not in result.stdout
    [path] = planned
    name = path.removeprefix("tests/").removesuffix(".toml")
    assert f"**New: 1 test**\n\n- `{name}`: planned, without a result yet; no figure counts it\n" in result.stdout


def test_a_deleted_test_asks_for_its_reason(entries: Path) -> None:
    (entries / f"{FIRST}-5.toml").unlink()
    result = run(entries, "main")
    assert result.exit_code == 0, result.output
    assert (
        "### Removed without a line in removed.toml\n\n"
        "Published addresses stay. Please add why, so that old links end at the reason; or keep the file and "
        "write `result.set_aside`, so that it stays in sight and does not count.\n\n"
        "```toml\n"
        '[[removed]]\ntest = "drum-cup/2026-09-12-blue-heron-5"\ndate = …\nreason = "…"\n```\n'
    ) in result.stdout
    (entries / samples.REMOVED_PATH).write_text(samples.REMOVED.replace("heron-2", "heron-5"))
    result = run(entries, "main")
    assert "without a line" not in result.stdout
    assert "**Taken out, for a reason**\n\n- `drum-cup/2026-09-12-blue-heron-5`: The hose was loose." in result.stdout


HOSTILE = "</td>|`x`<script>alert(1)</script>\\n\\n# Approved @someone ![x](https://evil.example/x.png) **b**"


def test_text_from_entries_is_shown_and_does_nothing(entries: Path) -> None:
    mask = samples.MASK.replace("Drum", HOSTILE.replace("\\n", "\\n"))
    write(entries, {"masks/box-fold.toml": mask})
    (entries / samples.MASK_PATH).write_text(mask.replace('class = "ffp2"', f'class = "{HOSTILE}"'))
    (entries / "tests" / "x|<b>@someone`y.toml").write_text("")
    path = next(iter(reading(100, 5)))
    (entries / path).write_text((entries / path).read_text() + f'\n[observations]\nnotes = "{HOSTILE}"\n')
    (entries / samples.REMOVED_PATH).write_text(
        samples.REMOVED.replace("heron-2", "heron-9").replace("The hose was loose.", HOSTILE)
    )
    result = run(entries, "main")
    assert result.exit_code == 1
    assert "alert(1)" in result.stdout
    outside_code = re.sub(r"`[^`\n]*`", "", result.stdout)
    for mark in ("<", "`", "![", "](", "://", "@someone", "**b**"):
        assert mark not in outside_code.replace("```toml", "").replace("```", ""), mark
    resolved = html.unescape(outside_code)
    assert "@someone" not in resolved
    assert "://evil" not in resolved
    headings = [line for line in result.stdout.splitlines() if line.startswith("#")]
    assert "# Approved" not in "\n".join(headings)


@pytest.mark.parametrize("base", ["nowhere", "--output=pwned", "-x", "HEAD:entries", "a\nb", "$(touch pwned)"])
def test_a_missing_base_is_a_sentence(entries: Path, base: str) -> None:
    result = CliRunner().invoke(main, ["review", "--entries", str(entries), "--", base])
    assert result.exit_code == 2
    assert "git knows no commit called" in result.stderr
    assert "Traceback" not in result.output
    assert run(entries, "main", "--head", base).exit_code == 2
    assert not list(entries.parent.rglob("pwned"))
    assert not Path("pwned").exists()


def test_no_repository(tmp_path: Path) -> None:
    result = run(samples.write(tmp_path / "entries"), "main")
    assert result.exit_code == 2
    assert "does not lie in a git repository" in result.stderr


def test_a_repository_without_a_commit(tmp_path: Path) -> None:
    git(tmp_path, "init", "-q")
    result = run(samples.write(tmp_path / "entries"), "main")
    assert result.exit_code == 2
    assert "git knows no commit called 'main'" in result.stderr


def test_no_entries_folder(tmp_path: Path) -> None:
    result = run(tmp_path / "nowhere", "main")
    assert result.exit_code == 2
    assert "does not exist" in result.stderr


def test_no_git(entries: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    result = run(entries, "main")
    assert result.exit_code == 2
    assert "git is not installed" in result.stderr


def test_the_repository_stays_as_it_was(entries: Path) -> None:
    write(entries, reading(5, 6))
    git(entries, "add", samples.MASK_PATH)
    before = {path: path.read_bytes() for path in entries.parent.rglob("*") if path.is_file()}
    assert run(entries, "main").exit_code == 0
    assert run(entries, "main", "--head", "HEAD").exit_code == 0
    assert {path: path.read_bytes() for path in entries.parent.rglob("*") if path.is_file()} == before


def test_hundreds_of_new_tests_are_counted_not_listed(entries: Path) -> None:
    write(entries, *(reading(100 + n / 7, n) for n in range(10, 110)))
    result = run(entries, "main")
    assert "**New: 100 tests**" in result.stdout
    assert "… and 60 more." in result.stdout
    assert result.stdout.count("\n| `drum-cup/") == 40


def test_with_the_face_model_lists_move_and_readings_are_asked_about(tmp_path: Path) -> None:
    """One wearer's reading of a mask that nobody else reached a hundredth of."""
    root = tmp_path / "bench" / "entries"
    shutil.copytree(ROOT / "entries", root)
    start(root.parent)
    tests = sorted(path for path in (root / "tests").rglob("*.toml") if "set_aside" not in path.read_text())
    plain = [path for path in tests if not re.search("exercise]|counts|at_least|configuration", path.read_text())]
    exact = max(plain, key=lambda path: float(re.findall("(?m)^fit_factor = (.*)$", path.read_text())[0]))
    exact.write_text(re.sub(r"(?m)^fit_factor = .*$", "fit_factor = 1.0", exact.read_text()))
    result = run(root, "main")
    assert result.exit_code == 0, result.output
    assert "**Changed: 1 test**" in result.stdout
    assert "times lower than" in result.stdout
    assert "was the hose loose?" in result.stdout
    assert "No lists" not in result.stdout


def test_a_published_result_that_changes_and_a_wearer_in_other_hands_are_asked_about(entries: Path) -> None:
    changed = {path: text.replace("= 98", "= 980") for path, text in reading(98, 1).items()}
    other = {path: text.replace("grey-bench", "new-bench") for path, text in reading(101, 6).items()}
    write(entries, changed, other)
    lines = run(entries, "main").stdout.split("### Entries")[0].splitlines()
    assert lines[4:7] == [
        "### Worth a second look",
        "",
        "- `drum-cup/2026-09-12-blue-heron-1` is published and says something else now: `result.fit_factor` 98 → 980; "
        "is it a correction, and why?",
    ]
    assert lines[-2] == (
        "- `blue-heron` was tested by `grey-bench` so far, and now by `new-bench` (1 test, "
        "`drum-cup/2026-09-12-blue-heron-6`); is it the same person?"
    )
