"""Tables of tests: from texts to tests, and which are new."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from builder.records.csv_tests import COLUMNS, REQUIRED, DonningRow, only_new, read_tests
from builder.records.entries import TestRecord
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
    assert [problem[1] for problem in read(tmp_path, "mask,date,colour\n")[1]] == ["colour", *REQUIRED[2:]]
    bad = f"{HEADER}\n{ROW}\n".encode().replace(b"grey", b"gr\xffy")
    assert read(tmp_path, bad)[1] == [(2, "contributor", "This value holds bytes that are no UTF-8.")]


def record(row: DonningRow, **result: object) -> TestRecord:
    test = row.test.model_copy(update={"result": row.test.result.model_copy(update=result)})
    return TestRecord("x", "x", test)


def test_of_rows_that_are_alike_as_many_are_new_as_are_not_there(tmp_path: Path) -> None:
    rows, _ = read(tmp_path, f"{HEADER}\n{ROW}\n{ROW}\n{ROW}\n")
    assert [row.number for row in only_new(rows, [])] == [2, 3, 4]
    assert [row.number for row in only_new(rows, [record(rows[0])])] == [3, 4]
    assert only_new(rows, [record(rows[0])] * 3) == []


def test_another_result_is_another_test(tmp_path: Path) -> None:
    rows, _ = read(tmp_path, f"{HEADER}\n{ROW}\n")
    assert only_new(rows, [record(rows[0], fit_factor=65.0), record(rows[0], at_least=True)]) == rows
    assert only_new(rows, [record(rows[0], fit_factor=None)]) == rows
    # What was added to the entry since does not make it another one.
    assert only_new(rows, [record(rows[0], set_aside="hose came off")]) == []


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
