"""The text of a log: encodings, remarks, numbers of lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.records.csv_tables import TableError
from builder.records.logs import log_text
from builder.records.logs.log_text import lines_from, row_chunks

TEXT = "Zeit;Übung;µg/m³\r\n1;Bücken;2\r\n"


def rows_of(text: str, delimiter: str) -> list[tuple[int, list[str]]]:
    """Give each row with its line."""
    chunks = row_chunks(iter(text.splitlines(keepends=True)), delimiter, 1)
    return [(number, [*row]) for chunk in chunks for number, row in zip(chunk.numbers, chunk.rows, strict=True)]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1"])
def test_the_usual_encodings(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(TEXT.encode(encoding))
    with lines_from(path) as lines:
        assert "".join(lines) == TEXT


def test_a_file_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(TableError, match="cannot be read"), lines_from(tmp_path):
        pass


def test_rows_keep_the_numbers_of_their_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(log_text, "CHUNK_ROWS", 2)
    text = "# a\n1,2\n\n  \n% b\n3,4\n// c\n5,6\n"
    assert rows_of(text, ",") == [(2, ["1", "2"]), (6, ["3", "4"]), (8, ["5", "6"])]
    assert rows_of(text.replace("4", '"4"'), ",")[-2:] == [(6, ["3", "4"]), (8, ["5", "6"])]
    assert rows_of("1  2\n\n3\t4\n", " ") == [(1, ["1", "2"]), (3, ["3", "4"])]


def test_a_semicolon_is_a_remark_where_it_parts_no_cells() -> None:
    assert rows_of("; a\n1,2\n", ",") == [(2, ["1", "2"])]
    assert rows_of(";2\n", ";") == [(1, ["", "2"])]


def test_quotation_marks_that_do_not_match() -> None:
    with pytest.raises(TableError) as error:
        rows_of('1,2\n3,"4\n5,6\n', ",")
    assert (error.value.problem.row, error.value.problem.problem) == (
        3,
        "The quotation marks do not match: unexpected end of data.",
    )
