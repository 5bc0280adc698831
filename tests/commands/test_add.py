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


def add(root: Path, *rows: str, header: str = HEADER, options: tuple[str, ...] = ()) -> Result:
    path = root.parent / "tests.csv"
    path.write_text("\n".join((header, *rows)) + "\n", encoding="utf-8")
    return CliRunner().invoke(main, ["add", str(path), "--entries", str(root), *options])


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
        "    → Give every row a value for each column, nothing between the marks where nothing is known; "
        "a decimal comma needs columns that are parted by semicolons.\n"
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


SECOND = "tests/drum-cup/2026-09-12-blue-heron-2.toml"


def test_a_corrected_row_corrects_its_test(root: Path) -> None:
    add(root, *ROWS)
    before = files(root)
    result = add(root, ROWS[0].replace(",64,", ",46,").replace("nose+chin", "nose"), *ROWS[1:])
    assert result.output == (
        f'corrected {root}/{SECOND}: result.fit_factor 64 → 46, observations.leaks[2] "chin" → not there\n'
        "0 added, 1 corrected, 4 already there\n"
    )
    after = files(root)
    assert {path for path in after if after[path] != before.get(path)} == {SECOND}
    assert "fit_factor = 46\n" in after[SECOND]
    assert add(root, *ROWS).output.endswith("0 added, 1 corrected, 4 already there\n")
    assert files(root) == before


def test_what_a_row_says_more_of_a_test_is_added_to_it(root: Path) -> None:
    add(root, *ROWS)
    rows = [f"{row},{comfort}" for row, comfort in zip(ROWS, ("4", "", "", "", ""), strict=True)]
    result = add(root, *rows, header=f"{HEADER},comfort")
    assert result.output == (
        f"corrected {root}/{SECOND}: observations.comfort not there → 4\n0 added, 1 corrected, 4 already there\n"
    )
    assert check(root).problems == []


def test_a_corrected_row_and_one_more_donning(root: Path) -> None:
    add(root, *ROWS)
    more = ROWS[3].replace("31.5", "40")
    result = add(root, *ROWS[:3], ROWS[3].replace("31.5", "13.5"), ROWS[4], more)
    assert "corrected " in result.output
    assert ": result.fit_factor 31.5 → 13.5\n1 added, 1 corrected, 4 already there\n" in result.output
    assert len(files(root)) == 9


def test_a_row_that_may_be_either_is_asked_back(root: Path) -> None:
    add(root, *ROWS)
    before = files(root)
    row = ROWS[3].replace("31.5", "13.5")
    result = add(root, row)
    assert result.exit_code == 1
    assert result.stderr == (
        f"{root.parent / 'tests.csv'} row 2\n"
        "    This may be a correction of drum-cup/2026-09-13-red-fox-1 (31.5) or of 1 more of that day, "
        "or one more donning.\n"
        "    → Say --differing correct or --differing add for all such rows, or name the test in a column test.\n"
        "Nothing was written.\n"
    )
    assert files(root) == before
    assert add(root, row, options=("--differing", "correct")).exit_code == 1  # which of the two it does not say
    named = add(root, f"{row},drum-cup/2026-09-13-red-fox-2", header=f"{HEADER},test")
    assert named.output.endswith("2.toml: result.fit_factor 28 → 13.5\n0 added, 1 corrected, 0 already there\n")
    assert add(root, row.replace("13.5", "99"), options=("--differing", "add")).output.endswith(
        "1 added, 0 already there\n"
    )


def test_a_named_test_may_move(root: Path) -> None:
    add(root, *ROWS)
    row = ROWS[4].replace("2026-09-13", "14.9.2026").replace("28,", "28,,drum-cup/2026-09-13-red-fox-2,", 1)
    result = add(root, row.replace(",,drum", ",drum", 1), header=HEADER.replace("at_least", "test,at_least"))
    assert result.exit_code == 0, result.output
    assert "2026-09-14-red-fox-1.toml: date 2026-09-13 → 2026-09-14\n" in result.output
    assert check(root).problems == []
    assert not (root / "tests/drum-cup/2026-09-13-red-fox-2.toml").exists()
    unknown = add(root, f"{ROWS[4]},drum-cup/2026-01-01-red-fox-9", header=f"{HEADER},test")
    assert "column test\n    There is no test drum-cup/2026-01-01-red-fox-9.\n" in unknown.stderr


def test_remarks_in_a_file_are_kept_or_it_is_left_alone(root: Path) -> None:
    add(root, *ROWS)
    path = root / SECOND
    path.write_text(path.read_text().replace("fit_factor = 64", "fit_factor = 64  # by the wall"))
    result = add(root, ROWS[0].replace(",64,", ",46,"), *ROWS[1:])
    assert result.output.endswith("1 corrected, 4 already there\n")
    assert "fit_factor = 46  # by the wall\n" in path.read_text()
    assert "its file holds remarks that would be lost" in add(root, ROWS[0].replace(",64,", ",>46,"), *ROWS[1:]).stderr


def test_rows_fill_planned_tests(root: Path) -> None:
    """The first planned one of that configuration; a row that was not planned gets the next number."""
    planned = "drum-cup,2026-09-14,grey-bench,blue-heron,none,free,64,,{},,,"
    head, _, _ = samples.TEST.replace("2026-09-12", "2026-09-14").partition("\n[[result.exercise]]")
    for number, text in enumerate((head, head.replace('nose-foam = "none"', ""), head), start=1):
        path = root / samples.TEST_PATH.replace("2026-09-12-blue-heron-1", f"2026-09-14-blue-heron-{number}")
        path.write_text(text + '\n[specimen]\nlabel = "box-2"\n')
    result = add(root, planned.format("none"), planned.format(""), planned.format("").replace("64", "70"))
    assert result.exit_code == 0, result.output
    assert result.output.endswith("\n3 added, 0 already there\n")
    found = {record.id[-1]: record.test for record in check(root).entries.tests if "-14-" in record.id}
    assert {number: test.result.fit_factor for number, test in found.items()} == {"1": 64, "2": 64, "3": None, "4": 70}
    assert [found[number].specimen.label for number in "124"] == ["box-2", "box-2", None]
    assert add(root, planned.format("none"), planned.format("")).output == "0 added, 2 already there\n"
