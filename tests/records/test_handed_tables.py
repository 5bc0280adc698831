"""Tables as people hand them in: any usual separator and encoding, blank rows and columns, and what is no table."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.records.csv_tables import TableError, TableProblem, TableProblems
from builder.records.handed_tables import HandedTable, columns_of, plain_name, read_table

KNOWN = ("seconds", "flow_cm3_s", "nose-wire")
SPELLING = {plain_name(name): name for name in KNOWN}


def known(name: str) -> str | None:
    return SPELLING.get(plain_name(name))


def read(folder: Path, content: str | bytes) -> tuple[HandedTable, list[tuple[int, str]]]:
    path = folder / "table.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    problems = TableProblems()
    table = read_table(path, lambda name: known(name) is not None, problems)
    return table, [(problem.row, problem.problem) for problem in problems.shown]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "latin-1"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_separators_encodings_and_line_ends(tmp_path: Path, delimiter: str, encoding: str, end: str) -> None:
    text = end.join(("Nose Wire,Seconds", 'stärker,"1,5"', "", "schwächer,2", ""))
    text = text.replace('"1,5"', "1.5").replace(",", delimiter)
    table, problems = read(tmp_path, text.encode(encoding))
    assert problems == []
    assert table == HandedTable(
        ["Nose Wire", "Seconds"], [(2, ["stärker", "1.5"]), (4, ["schwächer", "2"])], delimiter, 1
    )


def test_a_spreadsheet_that_says_what_parts_its_columns(tmp_path: Path) -> None:
    table, _ = read(tmp_path, "sep=;\nseconds;nose-wire\n1,5;a,b\n")
    assert (table.header, table.rows, table.header_row) == (["seconds", "nose-wire"], [(3, ["1,5", "a,b"])], 2)


def test_what_is_quoted_may_hold_any_mark(tmp_path: Path) -> None:
    table, _ = read(tmp_path, 'seconds,nose-wire\n"1,5","say ""x""\nand more"\n3,\n')
    assert table.rows == [(2, ["1,5", 'say "x"\nand more']), (3, ["3", ""])]


def test_blank_columns_and_rows_are_left_out_and_other_widths_noted(tmp_path: Path) -> None:
    table, problems = read(tmp_path, "seconds,,nose-wire,\n1,,a,\n,,,\n2,,b\n3,,c,,,\n4,,d,,,x\n")
    assert (table.header, table.rows) == (["seconds", "nose-wire"], [(2, ["1", "a"]), (5, ["3", "c"])])
    assert problems == [
        (4, "The row has 3 values, the header has 4."),
        (6, "The row has 6 values, the header has 4."),
    ]
    table, _ = read(tmp_path, "seconds,,nose-wire\n1,5,a\n")
    assert (table.header, table.rows) == (["seconds", "nose-wire", ""], [(2, ["1", "a", "5"])])


@pytest.mark.parametrize(
    ("content", "row", "problem"),
    [
        (b"", 1, "The file is empty."),
        (b",,\n1,2,3\n", 1, "The header is empty."),
        (b"a,b\n1,\0\n", 2, "This is no text: it holds a NUL byte."),
        (b"a\n" + b"x" * 100_001, 2, "The row is longer than 100000 characters."),
        (b"a," * 10**6, 1, "The row is longer than 100000 characters."),
        (b'a,b\n1,"2\n3,4\n', 3, "The quotation marks do not match: unexpected end of data."),
        (b'a,b\n"1"2,3\n', 2, "The quotation marks do not match: ',' expected after '\"'."),
    ],
)
def test_what_is_no_table(tmp_path: Path, content: bytes, row: int, problem: str) -> None:
    with pytest.raises(TableError) as error:
        read(tmp_path, content)
    assert (error.value.problem.row, error.value.problem.problem) == (row, problem)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(TableError, match="cannot be read: No such file"):
        read_table(tmp_path / "gone.csv", bool, TableProblems())


@pytest.mark.parametrize(
    ("name", "column", "problem"),
    [
        (" FLOW-cm3-s", "flow_cm3_s", None),
        ("flow", "", ('There is no column "flow".', "Known columns: seconds, flow_cm3_s, nose-wire.")),
        ("nosewires", "", ('There is no column "nosewires".', "Did you mean nose-wire?")),
    ],
)
def test_columns_in_any_spelling(name: str, column: str, problem: tuple[str, str] | None) -> None:
    problems = TableProblems()
    assert columns_of(HandedTable(["Seconds", name], [], ","), known, KNOWN, problems) == ["seconds", column]
    assert problems.shown == ([TableProblem(1, name, *problem)] if problem else [])
