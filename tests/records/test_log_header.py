"""The row of a log that names its columns."""

from __future__ import annotations

from builder.records.logs.log_header import LogHeader, find_header


def header_of(text: str) -> LogHeader:
    header = find_header(text.splitlines(keepends=True))
    assert header is not None
    return header


def test_two_lines_of_words_are_one_header_where_they_name_more_together() -> None:
    header = header_of("Elapsed,Sampled,Particle\ntime (s),air,count\n1,room,5\n")
    assert (header.line, header.above, header.names[1]) == (1, 2, "Sampled air")
    header = header_of("Time,Phase,Count\nx,y,z\n1,room,5\n")
    assert (header.line, header.above) == (1, 1)


def test_units_below_the_header_are_no_row() -> None:
    header = header_of("Time;Phase;Conc\n[min];[];[#/L]\n1;room;5\n")
    assert header.above == 2
    assert [named and named.factor for named in header.found] == [60, 1, 0.001]


def test_cells_held_apart_by_spaces_or_tabs() -> None:
    aligned = "Time (s)   Phase      Particle count\n1          In mask    5\n2          Room air   900\n"
    assert (header_of(aligned).delimiter, header_of(aligned).names[2]) == ("  ", "Particle count")
    assert header_of("Time\tPhase\t\tCount\n1\t\troom\t5\n2\t\troom\t5\n").delimiter == "  "
    assert header_of("Time\tPhase\tExercise\tCount\n1\troom\t\t5\n2\tmask\tbend\t5\n").delimiter == "\t"
    assert header_of("time phase count\n1 room 5\n").delimiter == " "


def test_without_names() -> None:
    assert header_of("1,room,5\n2,room,5\n").line == 0
    assert find_header(["nothing\n", "to see\n"]) is None
