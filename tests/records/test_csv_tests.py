"""Tables of tests: from texts to tests, and which are new."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from builder.records.csv_tests import COLUMNS, REQUIRED, DonningRow, TableHabits, read_tests
from builder.records.models import Test
from tests.conftest import FIXTURE_KEPT

HEADER = "mask,date,contributor,wearer,facial_hair,protocol,fit_factor"
ROW = "drum-cup,2026-09-12,grey-bench,blue-heron,none,free,64"


def read(folder: Path, text: str | bytes) -> tuple[list[DonningRow], list[tuple[int, str, str]]]:
    path = folder / "tests.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    rows, problems = read_tests(path)
    return rows, [(problem.row, problem.column, problem.problem) for problem in problems.shown]


def test_rows_and_blank_rows(tmp_path: Path) -> None:
    rows, problems = read(tmp_path, f"{HEADER}\n{ROW}\n\n,,,,,,\n{ROW}\n")
    assert [row.number for row in rows] == [2, 5]
    assert problems == []
    assert rows[0].test.result.fit_factor == 64


def test_good_rows_are_given_beside_the_faults_of_others(tmp_path: Path) -> None:
    rows, problems = read(tmp_path, f"{HEADER}\n{ROW}\n{ROW.replace('64', '')}\n{ROW.replace('none', 'nune')}\n1,2\n")
    assert [row.number for row in rows] == [2]
    assert sorted(problems) == [
        (3, "fit_factor", "fit_factor is missing."),
        (4, "facial_hair", '"nune" is not one of the words for facial_hair.'),
        (5, "", "The row has 2 values, the header has 7."),
    ]


def test_what_is_no_table(tmp_path: Path) -> None:
    assert read(tmp_path, "")[1] == [(1, "", "The file is empty.")]
    assert read(tmp_path, HEADER)[1] == [(0, "", "The table has no rows below its header.")]
    assert [problem[1] for problem in read(tmp_path, "mask,date,colour\n")[1]] == [
        "colour",
        *REQUIRED[2:],
        "fit_factor",
    ]


def test_rows_in_the_ways_of_another_country(tmp_path: Path) -> None:
    header = HEADER.replace(",", ";") + ";length mm;Width mm;Bend;side to side;talking"
    row = "drum-cup;12.9.2026;grey-bench;blue-heron;none;free;;117,5;138;31,5;>500;1.234"
    [read_row], problems = read(tmp_path, f"sep=;\n{header}\n{row}\n".encode("utf-16"))
    assert problems == []
    assert read_row.number == 3
    test = read_row.test
    assert (test.date.isoformat(), test.face.length_mm) == ("2026-09-12", 117.5)
    assert [(e.name, e.fit_factor, e.at_least) for e in test.result.exercise] == [
        ("bending-over", 31.5, False),
        ("head-side-to-side", 500, True),
        ("talking", 1234, False),
    ]
    assert read_row.column_of("result.exercise[3].fit_factor") == "talking"


def test_an_exercise_may_be_there_twice_and_a_limit_is_a_limit(tmp_path: Path) -> None:
    [row], problems = read(
        tmp_path, f"{HEADER},normal breathing 1,normal breathing 2\n{ROW.replace('64', '>64')},50,90\n"
    )
    assert problems == []
    assert [exercise.fit_factor for exercise in row.test.result.exercise] == [50, 90]
    assert row.test.result.at_least


def test_what_can_be_read_in_two_ways_is_asked_back_once(tmp_path: Path) -> None:
    table = f"{HEADER},talking\n" + f'{ROW.replace("2026-09-12", "12/9/2026")},"1,234"\n' * 3
    rows, _ = read(tmp_path, table)
    assert rows == []
    _, problems = read_tests(tmp_path / "tests.csv")
    assert problems.as_text(Path("t.csv")) == (
        "t.csv row 2, column date\n"
        '    "12/9/2026" is 12 September 2026 or 9 December 2026. The same in rows 3 to 4.\n'
        "    → Say which by --dates day-first or --dates month-first, or write year-month-day.\n"
        "t.csv row 2, column talking\n"
        '    "1,234" is 1.234 or 1234: nothing in the table says which. The same in rows 3 to 4.\n'
        "    → Say which by --decimal point or --decimal comma, or write 1234 or 1.2340."
    )
    rows, problems = read_tests(tmp_path / "tests.csv", TableHabits("month-first", "point"))
    assert (len(rows), problems.total) == (3, 0)
    assert (rows[0].test.date.isoformat(), rows[0].test.result.exercise[0].fit_factor) == ("2026-12-09", 1234)


def test_faults_of_header_and_rows_come_together(tmp_path: Path) -> None:
    table = "mask,date,contributor,wearer,colour,protocol,talking\ndrum-cup,soon,grey-bench,blue-heron,x,fre,0.5\n"
    assert read(tmp_path, table)[1] == [
        (1, "colour", 'There is no column "colour".'),
        (1, "facial_hair", "The column facial_hair is missing."),
        (2, "date", '"soon" is no date.'),
        (2, "protocol", '"fre" is not one of the words for protocol.'),
        (2, "talking", "0.5 is below 1."),
    ]


texts = st.one_of(st.text(max_size=6), st.sampled_from(ROW.split(",")))
tables = st.lists(st.lists(texts, min_size=6, max_size=8).map(",".join), max_size=6).map("\n".join)


@settings(suppress_health_check=FIXTURE_KEPT)
@given(st.one_of(st.binary(max_size=100), tables.map(lambda table: f"{HEADER}\n{table}".encode("utf-8", "replace"))))
def test_any_bytes_give_tests_or_problems(tmp_path: Path, content: bytes) -> None:
    rows, problems = read(tmp_path, content)
    assert problems or all(isinstance(row.test, Test) for row in rows)


def test_every_field_of_a_test_is_a_column() -> None:
    assert set(REQUIRED) < set(COLUMNS)
    assert {"length_mm", "nose-wire", "leaks", "touches_eyes", "link"} < set(COLUMNS)
