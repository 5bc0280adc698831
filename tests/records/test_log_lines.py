"""Which lines of a log are rows of readings."""

from __future__ import annotations

import pytest

from builder.records.csv_tables import RowChunk, TableProblems
from builder.records.logs.log_layout import find_layout
from builder.records.logs.log_lines import MOST_BELOW, LogLines, Remarks

HEADER = ["Time", "Phase", "Count"]
ROWS = [[str(at), "room" if at < 30 else "mask", "5"] for at in range(1, 60)]


def rows_of(*chunks: list[list[str]]) -> tuple[list[list[str]], Remarks, TableProblems]:
    """Give the rows that are passed on, what is remarked, and the problems."""
    problems, remarks = TableProblems(), Remarks()
    layout = find_layout([",".join(row) + "\n" for row in [HEADER, *ROWS]], problems)
    assert layout
    first, read = 2, []
    for rows in chunks:
        read.append(RowChunk(range(first, first + len(rows)), rows))
        first += len(rows)
    found = LogLines(layout, problems, remarks).rows(read)
    return [[*row] for chunk in found for row in chunk.rows], remarks, problems


def counts(remarks: Remarks) -> dict[str, tuple[int, int]]:
    return {name: (found.times, found.row) for name, found in remarks.items()}


def test_what_stands_below_is_passed_over() -> None:
    below = [["Total", "", "295"], ["Overall FF: 100"], ["12a", "", "x"]]
    rows, remarks, problems = rows_of([*ROWS, *below])
    assert (rows, counts(remarks), problems.total) == (ROWS, {"lines_below": (3, 61)}, 0)


def test_what_stands_below_may_come_in_a_chunk_of_its_own() -> None:
    rows, remarks, _ = rows_of(ROWS, [["Total", "", "295"]], [["Pass"]])
    assert (rows, counts(remarks)) == (ROWS, {"lines_below": (2, 61)})


def test_a_line_with_rows_below_it_is_a_row_with_a_fault() -> None:
    rows, remarks, problems = rows_of([*ROWS[:5], ["Total", "", "25"], ["Pass"]], ROWS[5:])
    assert counts(remarks) == {}
    assert ["Total", "", "25"] in rows
    assert [problem.problem for problem in problems.shown] == ["The row has 1 value, the header has 3."]


def test_a_row_whose_time_alone_is_mistyped_is_not_below() -> None:
    rows, remarks, _ = rows_of([*ROWS, ["6o", "mask", "5"]])
    assert (rows[-1], counts(remarks)) == (["6o", "mask", "5"], {})


def test_many_lines_without_a_time_are_something_else() -> None:
    lines = [["x", "mask", "5"]] * (MOST_BELOW + 1)
    rows, remarks, _ = rows_of([*ROWS, *lines])
    assert (len(rows), counts(remarks)) == (len(ROWS) + len(lines), {})


def test_a_log_of_such_lines_alone_has_faults() -> None:
    rows, remarks, _ = rows_of([["one", "room", "5"], ["two", "mask", "5"]])
    assert (len(rows), counts(remarks)) == (2, {})


@pytest.mark.parametrize("again", [HEADER, ["  Time ", "Phase", "Count", ""]])
def test_the_header_again_and_rows_without_a_word(again: list[str]) -> None:
    rows, remarks, problems = rows_of([*ROWS[:9], ["", " ", ""], again, *ROWS[9:]])
    assert (rows, counts(remarks), problems.total) == (ROWS, {"repeated_headers": (1, 12)}, 0)
