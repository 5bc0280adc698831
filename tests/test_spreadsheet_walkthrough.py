"""A contributor's spreadsheet of 60 tests with five mistakes, by the real command: from refusal to accepted."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.test_walkthrough import ENVIRONMENT

MASK = "brodipim"
COLUMNS = (
    "Mask;Date;Contributor;Wearer;Length mm;Width mm;Nose bridge;Facial hair;Nose wire;Protocol;Bend;Talking;"
    "Side to side;Up and down;Comfort;Notes;Invented"
)
FACES = {"quiet-tern": "117,5;138;high", "brown-owl": "109;131;low", "night-jar": "124;142,5;medium"}
EXERCISES = (1.0, 0.8, 1.15, 0.93)


def number(value: float) -> str:
    return f"{value:.1f}".replace(".", ",")


def table() -> list[str]:
    """Three wearers, two evenings each, the mask as sold and with another wire in turn: ten donnings an evening."""
    rows = [COLUMNS]
    for who, (wearer, face) in enumerate(FACES.items()):
        for evening in range(2):
            for take in range(10):
                changed = take % 2
                level = 60 * (1 + changed) * (1 + ((take * 7 + who * 3 + evening * 5) % 11) / 4)
                figures = ";".join(number(level * part + take + who * 1.7 + evening * 2.3) for part in EXERCISES)
                shown = face if take == 0 else ";;"
                rows.append(
                    f"{MASK};{14 + who}.{3 + evening}.2025;feldbank;{wearer};{shown};keine;"
                    f"{'broad-strip' if changed else ''};short-four-exercise;{figures};{take % 5 + 1};Prüfstand;yes"
                )
    return [row.replace(";keine;", ";none;") for row in rows]


MISTAKES = {
    5: ("14.3.2025", "31.2.2025"),
    13: (";none;", ";nonne;"),
    24: ("brodipim;", "brodipin;"),
    32: (";brown-owl;109;131;", ";brown-owl;119;131;"),
    47: ("four-exercise;368,4", "four-exercise;36B,4"),
}
"""By row: an impossible day, a misspelt word, a misspelt mask, another face, a letter for a digit."""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "entries", tmp_path / "entries")
    return tmp_path


def add(home: Path, rows: list[str], ends_with: int) -> tuple[str, str]:
    """Save the table as a spreadsheet does in the west of Europe, and hand it in."""
    (home / "tests.csv").write_bytes("\r\n".join([*rows, ""]).encode("latin-1"))
    command = [sys.executable, "-m", "builder", "add", "tests.csv"]
    done = subprocess.run(command, cwd=home, env=ENVIRONMENT, capture_output=True, text=True, check=False)
    assert done.returncode == ends_with, done.stdout + done.stderr
    assert "Traceback" not in done.stderr
    return done.stdout, done.stderr


def files(home: Path) -> dict[str, bytes]:
    return {path.relative_to(home).as_posix(): path.read_bytes() for path in (home / "entries").rglob("*.toml")}


def test_from_the_first_refusal_to_accepted(home: Path) -> None:
    before, right = files(home), table()
    assert len(right) == 61
    wrong = list(right)
    for row, (old, new) in MISTAKES.items():
        assert wrong[row - 1].count(old) == 1, wrong[row - 1]
        wrong[row - 1] = wrong[row - 1].replace(old, new)

    # All five are named at once, each in its place, and nothing is written.
    _, said = add(home, wrong, ends_with=1)
    places = [line for line in said.splitlines() if line.startswith("tests.csv row")]
    assert places == [
        "tests.csv row 5, column date",
        "tests.csv row 13, column facial_hair",
        "tests.csv row 24, column mask",
        "tests.csv row 32, column length_mm",
        "tests.csv row 47, column bending-over",
    ]
    assert '    "31.2.2025" is no date.\n    → Write year-month-day: 2026-09-12.\n' in said
    assert '"nonne" is not one of the words for facial_hair.\n    → Did you mean "none"?' in said
    assert f'→ Did you mean "{MASK}"?' in said
    assert "brown-owl has 119 × 131 mm here, but 109 × 131 mm in" in said
    assert '"36B,4" is no number.\n    → Write a number with a decimal point, such as 117.5.\n' in said
    assert said.endswith("\nNothing was written.\n")
    assert files(home) == before

    # Put right, it is accepted, and a second time nothing is added.
    told, _ = add(home, right, ends_with=0)
    assert told.endswith("\n60 added, 0 already there\n")
    assert len(files(home)) == len(before) + 60
    assert (
        "no problems"
        in subprocess.run(
            [sys.executable, "-m", "builder", "check"],
            cwd=home,
            env=ENVIRONMENT,
            capture_output=True,
            text=True,
            check=True,
        ).stdout
    )
    added = files(home)
    assert add(home, right, ends_with=0)[0] == "0 added, 60 already there\n"
    assert files(home) == added

    # A slip found later corrects its test, and says what changed.
    slip = right[6].split(";")
    slip[11] = number(float(slip[11].replace(",", ".")) + 10)
    told, _ = add(home, [*right[:6], ";".join(slip), *right[7:]], ends_with=0)
    first, last = told.splitlines()
    assert first.startswith(
        f"corrected entries/tests/{MASK}/2025-03-14-quiet-tern-6.toml: result.exercise[2].fit_factor "
    )
    assert last == "0 added, 1 corrected, 59 already there"
    assert len(files(home)) == len(added)
