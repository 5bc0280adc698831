"""`sealbook add`: a row a donning, all of them or none, nothing twice."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.records.checking import check
from builder.records.csv_tests import COLUMNS
from builder.records.models import configuration_id
from tests.records import samples

HEADER = "mask,date,contributor,wearer,facial_hair,protocol,fit_factor,at_least,nose-foam,length_mm,width_mm,leaks"
ROWS = (
    "drum-cup,2026-09-12,grey-bench,blue-heron,none,free,64,,none,,,nose+chin",
    "drum-cup,2026-09-12,grey-bench,blue-heron,none,free,500,yes,,,,",
    "drum-cup,2026-09-12,grey-bench,blue-heron,none,free,500,yes,,,,",
    "drum-cup,2026-09-13,grey-bench,red-fox,clear-of-seal,free,31.5,no,,112,131,",
    "drum-cup,2026-09-13,grey-bench,red-fox,clear-of-seal,free,28,,,,,",
)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return samples.write(tmp_path / "entries")


def add(root: Path, *rows: str, header: str = HEADER) -> Result:
    path = root.parent / "tests.csv"
    path.write_text("\n".join((header, *rows)) + "\n", encoding="utf-8")
    return CliRunner().invoke(main, ["add", str(path), "--entries", str(root)])


def files(root: Path) -> dict[str, str]:
    return {path.relative_to(root).as_posix(): path.read_text() for path in root.rglob("*") if path.is_file()}


def test_every_row_becomes_an_entry(root: Path) -> None:
    result = add(root, *ROWS)
    assert result.exit_code == 0, result.output
    assert result.output.endswith("\n5 added, 0 already there\n")
    checked = check(root)
    assert checked.problems == []
    new = {record.id.partition("/")[2]: record.test for record in checked.entries.tests}
    assert sorted(new) == [
        *(f"2026-09-12-blue-heron-{number}" for number in (1, 2, 3, 4)),
        *(f"2026-09-13-red-fox-{number}" for number in (1, 2)),
    ]
    first = new["2026-09-12-blue-heron-2"]
    assert configuration_id(first.mask, first.configuration) == "drum-cup+no-nose-foam"
    assert first.observations.leaks == ("nose", "chin")
    assert first.face.length_mm == 117
    assert new["2026-09-12-blue-heron-3"].result.at_least
    assert new["2026-09-13-red-fox-2"].face.length_mm == 112


def test_nothing_is_added_twice(root: Path) -> None:
    add(root, *ROWS)
    before = files(root)
    assert add(root, *ROWS).output == "0 added, 5 already there\n"
    assert files(root) == before
    assert add(root, *ROWS, ROWS[0].replace(",64,", ",65,")).output.endswith("1 added, 5 already there\n")


def test_one_fault_and_nothing_is_added(root: Path) -> None:
    before = files(root)
    result = add(
        root, ROWS[0], ROWS[1].replace("none,free", "nune,free"), ROWS[2].replace("drum-cup", "drum-cap"), "1,2"
    )
    assert result.exit_code == 1
    assert files(root) == before
    path = root.parent / "tests.csv"
    assert result.stderr == (
        f'{path} row 3, column facial_hair\n    "nune" is not one of the words for facial_hair.\n'
        '    → Did you mean "none"? None: Shaved, or no hair where the mask seals.\n'
        f"{path} row 4, column mask\n    There is no mask drum-cap: masks/drum-cap.toml is missing.\n"
        '    → Did you mean "drum-cup"? Otherwise add masks/drum-cap.toml.\n'
        f"{path} row 5\n    The row has 2 values, the header has 12.\n"
        "    → Give every row a value for each column, nothing between the commas where nothing is known; "
        "numbers have a decimal point, not a comma.\n"
        "Nothing was written.\n"
    )


def test_faces_are_compared_with_earlier_tests(root: Path) -> None:
    result = add(root, ROWS[0].replace("none,,,nose", "none,117,140,nose"))
    assert result.exit_code == 1
    assert "row 2, column length_mm" in result.stderr
    assert "but 117 × 138 mm in" in result.stderr


def test_warnings_are_shown_and_are_fine(root: Path) -> None:
    result = add(root, ROWS[0].replace("heron,none", "heron,stubble"))
    assert result.exit_code == 0
    assert result.stderr.startswith(f"Warnings:\n{root.parent / 'tests.csv'} row 2, column facial_hair\n")


def test_the_header_is_printed_for_a_start() -> None:
    result = CliRunner().invoke(main, ["add", "--header"])
    assert (result.exit_code, result.output) == (0, ",".join(COLUMNS) + "\n")


def test_a_file_that_is_not_there_is_wrong_usage(root: Path) -> None:
    assert CliRunner().invoke(main, ["add", "gone.csv", "--entries", str(root)]).exit_code == 2


def test_an_empty_file_is_a_problem(root: Path) -> None:
    result = add(root, header="")
    assert result.exit_code == 1
    assert "The header is empty." in result.stderr or "The file is empty." in result.stderr
