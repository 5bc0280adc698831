"""What goes wrong around the builder: a full disk, two builds at once, a poor terminal, a wrong clock."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from builder.records.checking import check
from tests.bench.kill_builds import SETTINGS, start
from tests.conftest import ROOT, SITE_URL
from tests.records import samples
from tests.test_plugin import built, digests


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A few entries with settings that build them into `site` beside them."""
    samples.write(tmp_path / "entries")
    (tmp_path / "mkdocs.yml").write_text(SETTINGS.format(root=ROOT, folder=tmp_path), "utf-8")
    return tmp_path


def test_a_disk_that_fills_up_leaves_the_old_site(home: Path) -> None:
    (home / "site").mkdir()
    (home / "site" / "index.html").write_text("the last good site", "utf-8")
    build = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "-q", "-f", str(home / "mkdocs.yml")],
        env=os.environ | {"NO_MKDOCS_2_WARNING": "1"},
        # No file may grow beyond 100 kB: writing the chart library fails as on a full disk.
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000)),
        capture_output=True,
        check=False,
    )
    assert build.returncode != 0
    assert [path.name for path in (home / "site").iterdir()] == ["index.html"]
    assert not list(home.glob(".site-building-*"))


def test_two_builds_at_once_publish_one_whole_site(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SEALBOOK_URL", SITE_URL)
    builds = [start(home), start(home)]
    assert [build.wait() for build in builds] == [0, 0]
    assert digests(home / "site") == digests(built(home / "entries", home / "alone"))
    assert not list(home.glob(".site-building-*"))


@pytest.mark.parametrize("verb", [["check"], ["summary"], ["hacks"], ["--help"]])
def test_a_terminal_that_knows_only_ascii_gets_text(verb: list[str]) -> None:
    poor = {"LANG": "C", "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "PYTHONIOENCODING": "ascii"}
    done = subprocess.run(
        [sys.executable, "-m", "builder", *verb], cwd=ROOT, env=os.environ | poor, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout
    assert b"Traceback" not in done.stderr


def test_a_clock_in_the_past_gives_problems_that_name_its_day() -> None:
    problems = check(ROOT / "entries", today=date(2000, 1, 1)).problems
    assert {problem.rule for problem in problems} == {"possible-date"}
    assert all("it is 2000-01-01" in problem.problem for problem in problems)


def test_line_ends_of_windows_change_nothing(tmp_path: Path) -> None:
    entries = shutil.copytree(ROOT / "entries", tmp_path / "entries")
    before = check(entries).entries
    for path in entries.rglob("*.toml"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    after = check(entries)
    assert after.problems == []
    assert after.entries == before
