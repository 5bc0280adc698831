"""What a layout is understood to be, and what is said where it is not."""

from __future__ import annotations

import pytest

from builder.records.csv_tables import TableProblems
from builder.records.logs.log_layout import LogLayout, find_layout
from tests.records import written_logs


def layout_of(text: str, reading: str = "") -> LogLayout:
    problems = TableProblems()
    layout = find_layout(text.splitlines(keepends=True), problems, reading)
    assert layout is not None, problems.shown
    return layout


def places(layout: LogLayout) -> dict[str, int]:
    return {role: column.place for role, column in layout.columns.items()}


def test_columns_are_found_by_name_and_by_what_they_hold() -> None:
    text = "Air,Label,Elapsed (s),Clock,Raw count,Conc. (#/cc)\nroom,A1,1,14:00:01,5,2.5\nmask,A1,2,14:00:02,5,2.5\n"
    assert places(layout_of(text)) == {"phase": 0, "seconds": 2, "particles": 4}


def test_a_column_of_phases_needs_no_name() -> None:
    assert places(layout_of("time,x,count\n1,room,5\n2,bend,5\n"))["phase"] == 1


def test_a_column_that_is_called_phase_and_holds_numbers_is_another() -> None:
    found = places(layout_of("time,sample,count,notes\n1,1,5,room\n2,2,5,mask\n"))
    assert found["phase"] == 3


def test_the_header_is_the_line_that_names_most() -> None:
    layout = layout_of("Time: noon, Count: many\n\nTime,Phase,Count\n1,mask,5\n2,room,6\n")
    assert (layout.header, layout.above, layout.delimiter) == (3, 3, ",")


def test_the_unit_of_a_clock_that_counts_since_1970_is_known_by_its_size() -> None:
    for digits, factor in ((10, 1), (13, 1e-3), (16, 1e-6), (19, 1e-9)):
        stamp = "1789221800" + "0" * (digits - 10)
        assert layout_of(f"time,phase,count\n{stamp},room,5\n{stamp},mask,5\n").columns["seconds"].factor == factor


def test_lengths_that_differ_go_before_times() -> None:
    text = "Start,Time,Duration (s),Phase,Count\n0,20,20,room,5\n30,60,30,mask,5\n"
    assert "duration" in places(layout_of(text))
    assert "seconds" in places(layout_of(text.replace("20,20", "20,30")))


@pytest.mark.parametrize("way", [way for way, content in written_logs.WAYS.items() if isinstance(content, str)])
def test_a_layout_is_the_same_from_fewer_lines(way: str) -> None:
    """What stands in a minute of a run tells the columns, so a long log is not read twice."""
    lines = str(written_logs.WAYS[way]).splitlines(keepends=True)
    whole, start = layout_of("".join(lines)), layout_of("".join(lines[:70]))
    assert places(whole) == places(start)
    assert (whole.delimiter, whole.above) == (start.delimiter, start.above)
