"""Tables from CSV: rows in chunks, problems at their row and column."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from builder.records import csv_tables
from builder.records.csv_tables import TableError, TableProblem, TableProblems, chunks_of, header_of, rows_of

KNOWN = ("seconds", "flow_cm3_s", "nose-wire")


def read(path: Path, content: str | bytes) -> list[list[str]]:
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    with rows_of(path) as rows:
        return list(rows)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "table.csv"


def test_rows_as_spreadsheets_write_them(path: Path) -> None:
    assert read(path, '\ufeffa,b\r\n"1,5","say ""x"""\r\n\r\n3,\r\n') == [["a", "b"], ["1,5", 'say "x"'], [], ["3", ""]]
    assert read(path, "a\rb\r") == [["a"], ["b"]]
    assert read(path, "") == []


def test_a_file_of_many_blocks_is_read_whole(path: Path) -> None:
    line = "1234567,mask,talking,17\n"
    assert read(path, line * 100_000) == [line.strip().split(",")] * 100_000


def test_bytes_that_are_no_utf8_come_with_their_cell(path: Path) -> None:
    [[text, other]] = read(path, b"a\xff,b")
    assert csv_tables.not_utf8(text)
    assert not csv_tables.not_utf8(other)


@pytest.mark.parametrize(
    ("content", "row", "problem"),
    [
        (b"a,b\n1,\0\n", 2, "This is no text: it holds a NUL byte."),
        ("a,b\n1,2\n".encode("utf-16"), 1, "This is no text: it holds a NUL byte."),
        (b"a\n" + b"x" * 100_001, 2, "The row is longer than 100000 characters."),
        (b"a," * 10**6, 1, "The row is longer than 100000 characters."),
        (b'a,b\n1,"2\n3,4\n', 3, "The quotation marks do not match: unexpected end of data."),
        (b'a,b\n"1"2,3\n', 2, "The quotation marks do not match: ',' expected after '\"'."),
    ],
)
def test_what_is_no_table(path: Path, content: bytes, row: int, problem: str) -> None:
    with pytest.raises(TableError) as error:
        read(path, content)
    assert (error.value.problem.row, error.value.problem.problem) == (row, problem)


def test_a_file_that_is_not_there(path: Path) -> None:
    with pytest.raises(TableError, match="cannot be read: No such file"), rows_of(path):
        pass


def header(*texts: str) -> tuple[list[str], list[TableProblem]]:
    problems = TableProblems()
    return header_of(iter([list(texts)]), KNOWN, ("seconds",), problems), problems.shown


def test_columns_in_any_order_and_spelling() -> None:
    assert header("Nose Wire", " seconds ", "FLOW-cm3-s") == (["nose-wire", "seconds", "flow_cm3_s"], [])


@pytest.mark.parametrize(
    ("texts", "problem"),
    [
        (("seconds", "seconds"), TableProblem(1, "seconds", "The column is there twice.", "Delete one of the two.")),
        (("nose-wire",), TableProblem(1, "seconds", "The column seconds is missing.", "Add the column seconds.")),
        (
            ("seconds", "flow"),
            TableProblem(1, "flow", 'There is no column "flow".', "Known columns: seconds, flow_cm3_s, nose-wire."),
        ),
        (
            ("seconds", "nosewires"),
            TableProblem(1, "nosewires", 'There is no column "nosewires".', "Did you mean nose-wire?"),
        ),
    ],
)
def test_wrong_columns(texts: tuple[str, ...], problem: TableProblem) -> None:
    assert header(*texts)[1] == [problem]


@pytest.mark.parametrize(
    ("texts", "problem"),
    [
        ((), "The file is empty."),
        (("", " "), "The header is empty."),
        (("seconds;nose-wire",), "The columns are not separated by commas."),
    ],
)
def test_no_header(texts: tuple[str, ...], problem: str) -> None:
    with pytest.raises(TableError, match=problem):
        header(*texts)


def test_rows_keep_their_numbers_when_some_are_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(csv_tables, "CHUNK_ROWS", 3)
    problems = TableProblems()
    table = [["1", "2"], [], ["3"], ["4", "5"], ["6", "7"], [], ["8", "9", "10"]]
    chunks = list(chunks_of(iter(table), 2, problems))
    assert [(list(chunk.numbers), chunk.rows) for chunk in chunks] == [
        ([2], [["1", "2"]]),
        ([5, 6], [["4", "5"], ["6", "7"]]),
    ]
    assert [(problem.row, problem.problem) for problem in problems.shown] == [
        (4, "The row has 1 value, the header has 2."),
        (8, "The row has 3 values, the header has 2."),
    ]


def test_problems_beyond_the_first_are_counted() -> None:
    problems = TableProblems()
    problems.add(1, "", "One.", "Do.")
    for place in range(100):
        problems.add(place + 2, "x", f"Number {place}.", "Do.")
    problems.add(200, "y", "Last.", "Do.")
    text = problems.as_text(Path("t.csv")).splitlines()
    assert text[:6] == ["t.csv row 1", "    One.", "    → Do.", "t.csv row 2, column x", "    Number 0.", "    → Do."]
    assert text[-1] == "… and 52 more"
    printed = json.loads(problems.as_json())
    assert printed["total"] == 102
    assert len(printed["problems"]) == 50
    assert printed["problems"][1] == {"row": 2, "column": "x", "problem": "Number 0.", "remedy": "Do."}


def test_a_repeated_cause_is_told_once_with_its_rows() -> None:
    problems = TableProblems()
    problems.add_repeated([3], "x", '"a" is wrong.', "Do.", "is wrong.")
    problems.add_repeated([4, 5, 6, 9, 11], "x", '"b" is wrong.', "Do.", "is wrong.")
    problems.add_repeated([7], "y", "Else.", "Do.")
    assert problems.as_text(Path("t.csv")).splitlines() == [
        "t.csv row 3, column x",
        '    "a" is wrong. The same in rows 4 to 6, 9 and 11.',
        "    → Do.",
        "t.csv row 7, column y",
        "    Else.",
        "    → Do.",
    ]
    problems.add_repeated(range(20, 120), "y", "Else.", "Do.")
    assert "    Else. The same in rows 20 to 31 and 88 more." in problems.as_text(Path("t.csv")).splitlines()
    assert problems.total == 107
    printed = json.loads(problems.as_json())["problems"]
    assert (printed[0]["times"], printed[0]["also"]) == (6, [4, 5, 6, 9, 11])
