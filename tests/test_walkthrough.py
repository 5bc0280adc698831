"""From an empty folder to a published site and a review, by the real commands: what a tester does, in order."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import ROOT

SETTINGS = """
INHERIT: {root}/mkdocs.yml
docs_dir: {root}/site_src/pages
"""
ENVIRONMENT = os.environ | {
    "NO_MKDOCS_2_WARNING": "1",
    "PYTHONPATH": str(ROOT),
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_AUTHOR_NAME": "tester",
    "GIT_AUTHOR_EMAIL": "tester@example.org",
    "GIT_COMMITTER_NAME": "tester",
    "GIT_COMMITTER_EMAIL": "tester@example.org",
}
TESTED_ON = ["--date", "2024-05-18", "--wearer", "blue-heron"]
FACE = [
    "--length-mm",
    "117",
    "--width-mm",
    "138",
    "--nose-bridge",
    "high",
    "--facial-hair",
    "none",
    "--contributor",
    "grey-otter",
]

FACE_KEYS = 'length_mm = 117\nwidth_mm = 138\nnose_bridge = "high"\nfacial_hair = "none"\n'


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """An empty repository with no more than the site's settings in it."""
    (tmp_path / "mkdocs.yml").write_text(SETTINGS.format(root=ROOT), "utf-8")
    (tmp_path / "entries").mkdir()
    run(tmp_path, ["git", "init", "-q", "-b", "main"])
    return tmp_path


def run(home: Path, command: list[str], ends_with: int = 0) -> str:
    done = subprocess.run(command, cwd=home, env=ENVIRONMENT, capture_output=True, text=True, check=False)
    assert done.returncode == ends_with, f"{command}\n{done.stdout}\n{done.stderr}"
    assert "Traceback" not in done.stderr
    return done.stdout


def sealbook(home: Path, *arguments: str, ends_with: int = 0) -> str:
    return run(home, [sys.executable, "-m", "builder", *arguments], ends_with)


def commit(home: Path) -> None:
    run(home, ["git", "add", "-A"])
    run(home, ["git", "commit", "-q", "-m", "more tests"])


def counted_run() -> str:
    """A run of the short protocol, a row a second: 200 particles outside, 2 in the mask, so 100 in every exercise."""
    rows, second = ["seconds,phase,exercise,particles"], 0
    exercises = ("bending-over", "talking", "head-side-to-side", "head-up-and-down")
    outside = ("ambient", "", 20, 200)
    stretches = [outside, *(("mask", exercise, 30, 2) for exercise in exercises), outside]
    for phase, exercise, seconds, particles in stretches:
        for _ in range(seconds):
            second += 1
            rows.append(f"{second},{phase},{exercise},{particles}")
    return "\n".join(rows) + "\n"


def test_from_an_empty_folder_to_a_review(home: Path) -> None:
    assert "no problems" in sealbook(home, "check")

    # A mask and a part that nobody has entered yet.
    sealbook(home, "new", "mask", "--model", "Drum", "--maker", "Example Works", "--style", "cup", "--class", "ffp2")
    part = ["--name", "Stiff strip", "--slot", "nose-wire", "--material", "aluminium", "--can-be-undone"]
    sealbook(home, "new", "part", *part, "--fitting", "Taped along the upper hem, both ends covered.")

    # Plan a run; its entries wait for their results.
    sheet = sealbook(
        home, "plan", "drum", "--vary", "nose-wire=stiff-strip", "--write", "entries", "--protocol", "one-exercise",
        *TESTED_ON, "--facial-hair", "none",
    )  # fmt: skip
    assert "stiff strip" in sheet.lower()
    stubs = sorted((home / "entries" / "tests" / "drum").glob("*.toml"))
    assert len(stubs) == 4
    planned = json.loads(sealbook(home, "check", "--format", "json"))
    assert {Path(note["path"]).name for note in planned if note["severity"] == "note"} == {s.name for s in stubs}

    # Fill in what was measured: the strip does ten times as well.
    for nth, stub in enumerate((stubs[0], *stubs[2:])):
        text = stub.read_text("utf-8")
        value = (200 if "stiff-strip" in text else 20) + nth
        text = text.replace('contributor = "blue-heron"', 'contributor = "grey-otter"')
        text = text.replace('wearer = "blue-heron"\nfacial_hair = "none"\n', f'wearer = "blue-heron"\n{FACE_KEYS}')
        stub.write_text(f"{text.rstrip()}\nfit_factor = {value}\n", "utf-8")
    # One donning stays planned, and all the rest works beside it.
    assert "no problems, 1 planned test" in sealbook(home, "check")
    commit(home)

    # One more donning from raw counts, and one by hand on another face.
    (home / "run.csv").write_text(counted_run(), "utf-8")
    result = json.loads(sealbook(home, "counts", "run.csv", "--format", "json"))
    assert result["fit_factor"] == pytest.approx(100)
    assert result["low95"] < 100 < result["high95"]
    sealbook(home, "counts", "run.csv", "--write", "--mask", "drum", *TESTED_ON, *FACE)
    (home / "run.csv").unlink()
    other = [
        "--wearer",
        "red-newt",
        "--cell",
        "7",
        "--facial-hair",
        "none",
        "--contributor",
        "grey-otter",
        "--date",
        "2024-05-19",
    ]
    sealbook(home, "new", "test", "--mask", "drum", "--protocol", "one-exercise", "--fit-factor", "33", *other)
    assert "no problems, 1 planned test" in sealbook(home, "check")

    # What a reader finds.
    summary = {row["configuration"]: row for row in json.loads(sealbook(home, "summary", "--format", "json"))}
    assert summary["drum"]["tests"] == 4
    assert summary["drum"]["wearers"] == 2
    compared = json.loads(sealbook(home, "compare", "drum", "drum+stiff-strip", "--format", "json"))
    assert compared["ratio"] > 2
    run(home, [sys.executable, "-m", "mkdocs", "build", "--strict", "-q"])
    page = (home / "site" / "masks" / "drum" / "index.html").read_text("utf-8")
    assert "Stiff strip" in page
    assert "Invented demo data" not in page

    # What a maintainer finds.
    review = sealbook(home, "review", "HEAD")
    assert "2024-05-19-red-newt-1" in review
    assert "drum" in review
    run(home, [sys.executable, "-m", "builder", "export", "open-data"])
    assert (home / "open-data" / "datapackage.json").is_file()
