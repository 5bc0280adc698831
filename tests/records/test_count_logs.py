"""Logs of runs, good and hostile."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.fit.counts.run_log import NO_PURGE, Purge, RunLog
from builder.fit.counts.run_result import run_result
from builder.fit.counts.sampled_air import PURGE
from builder.records.count_logs import read_counts
from builder.records.csv_tables import TableProblems
from builder.records.logs.log_reading import EXERCISES
from builder.records.logs.log_words import words
from tests.conftest import FIXTURE_KEPT
from tests.records import logs


def problems_of(folder: Path, text: str | bytes) -> list[tuple[int, str, str]]:
    found = read_counts(logs.write(folder, text))
    assert isinstance(found, TableProblems)
    assert sum(problem.times for problem in found.shown) == found.total
    return [(problem.row, problem.column, problem.problem) for problem in found.shown]


def log_of(folder: Path, text: str, purge: Purge = NO_PURGE) -> RunLog:
    found = read_counts(logs.write(folder, text), purge)
    assert isinstance(found, RunLog), found.shown
    return found


def test_a_run_of_the_short_protocol(tmp_path: Path) -> None:
    log = log_of(tmp_path, logs.short_run())
    assert [EXERCISES[s.exercise] for s in log.stretches if s.exercise] == list(logs.SHORT)
    assert [s.amount for s in log.stretches if s.kind != PURGE] == [20_000, 600, 300, 150, 150, 9000]


def test_words_are_known_in_any_case_and_as_labels(tmp_path: Path) -> None:
    text = "seconds,phase,exercise,particles\n1,Ambient,,5\n2, MASK ,Head side to side,5\n"
    assert [EXERCISES[s.exercise] for s in log_of(tmp_path, text).stretches] == ["", "head-side-to-side"]


def test_an_exercise_matters_in_the_mask_only(tmp_path: Path) -> None:
    text = "seconds,phase,exercise,particles\n1,ambient,talking,5\n2,ambient,,5\n"
    assert len(log_of(tmp_path, text).stretches) == 1


def test_concentration_with_and_without_flow(tmp_path: Path) -> None:
    text = "phase,seconds,concentration,flow_cm3_s\nambient,2,100,1.5\nmask,4,0.5,1.5\n"
    assert [s.amount for s in log_of(tmp_path, text).stretches] == [300, 1.5]
    log = log_of(tmp_path, "phase,seconds,concentration\nambient,2,100\nmask,4,0.5\n")
    assert [s.amount for s in log.stretches] == [200, 1]
    assert not log.counted


HEADER = "seconds,phase,exercise,particles\n"


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        ("", [(1, "", "The file is empty.")]),
        (HEADER, [(0, "", "The table has no rows below its header.")]),
        ("seconds;phase\n", [(1, "", "There is no column of particles.")]),
        ("second,phase\n1,mask\n", [(1, "", "There is no column of particles.")]),
        ("secands,phase,particles\n,mask,5\n", [(1, "seconds", "The column seconds is missing.")]),
        ("seconds,particles\n1,5\n", [(1, "phase", "The column phase is missing.")]),
        ("foo,bar\nx,y\n", [(1, "", "No row names the columns, and what they hold does not tell.")]),
        (
            "seconds,phase,Count,count\n1,mask,1,1\n",
            [(1, "", 'Several columns hold particles: "Count", "count".')],
        ),
        (
            "time,phase,particles\n12:00:01,mask,1\n12:00:02,mask,1\nnoon,mask,2\n12:00:04,mask,5\n12:00:05,mask,2\n"
            "12:00:06,mask,1\n",
            [(4, "time", '"noon" is no time.')],
        ),
        (HEADER + "1,mask,,nan\n", [(2, "particles", '"nan" is no number.')]),
        (HEADER + "1,mask,,\n", [(2, "particles", '"" is no number.')]),
        (HEADER + "1,mask,,1_000\n", [(2, "particles", '"1_000" is no number.')]),
        (HEADER + "1e999,mask,,1\n", [(2, "seconds", '"1e999" is no number.')]),
        (HEADER + "-1,mask,,1\n", [(2, "seconds", '"-1" is below 0.')]),
        (HEADER + "1,mask,,1.5\n", [(2, "particles", '"1.5" is no whole number.')]),
        (HEADER + "1,mask,,1e13\n", [(2, "particles", '"1e13" is above 1e+12.')]),
        ("seconds,phase,concentration,flow_cm3_s\n1,mask,1,0\n", [(2, "flow_cm3_s", '"0" is no flow.')]),
        (HEADER + "1,mask,grimmace,1\n", [(2, "exercise", '"grimmace" is no exercise.')]),
        (HEADER + "1,,talking,1\n", [(2, "phase", '"" is no phase.')]),
        (
            HEADER + "one,msak,,x\n\n1,mask,,2,5\n",
            [
                (4, "", "The row has 5 values, the header has 4."),
                (2, "seconds", '"one" is no number.'),
                (2, "phase", '"msak" is no phase.'),
                (2, "particles", '"x" is no number.'),
            ],
        ),
        (HEADER.encode() + b"1,mask,\xff,1\n", [(2, "exercise", '"ÿ" is no exercise.')]),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", [(3, "", "This is no text: it holds a NUL byte.")]),
        ("a," * 10**6 + "\n", [(1, "", "The row is longer than 100000 characters.")]),
        (
            HEADER + "".join(f"{n},{('mask', 'ambient')[n % 2]},,1\n" for n in range(2000)),
            [(0, "", "The phase or the exercise changes more than 1000 times.")],
        ),
    ],
)
def test_each_problem_is_named_at_its_place(
    tmp_path: Path, text: str | bytes, problems: list[tuple[int, str, str]]
) -> None:
    assert problems_of(tmp_path, text) == problems


def test_a_problem_of_many_rows_is_told_once(tmp_path: Path) -> None:
    found = read_counts(logs.write(tmp_path, HEADER + "1,mask,,x\n" * 30_000))
    assert isinstance(found, TableProblems)
    assert (len(found.shown), found.total) == (1, 30_000)


texts = st.one_of(
    st.sampled_from(
        ["1", "2", "30", "0", "1e3", "", "mask", "ambient", "purge", "talking", "grimace", "-1", "nan", "é"]
    ),
    st.text(max_size=5),
)
tables = st.lists(st.lists(texts, min_size=3, max_size=5).map(",".join), max_size=12).map("\n".join)
headers = st.one_of(
    st.just("seconds,phase,particles"),
    st.just("seconds,phase,concentration"),
    st.lists(st.sampled_from(list(words()["columns"])), min_size=1, max_size=5).map(",".join),
)


@settings(suppress_health_check=FIXTURE_KEPT, max_examples=300)
@given(
    st.one_of(
        st.binary(max_size=200), st.tuples(headers, tables).map(lambda t: "\n".join(t).encode("utf-8", "replace"))
    )
)
def test_any_bytes_give_a_result_or_problems(tmp_path: Path, content: bytes) -> None:
    found = read_counts(logs.write(tmp_path, content))
    if isinstance(found, TableProblems):
        assert found.total
        return
    try:
        result = run_result(found, EXERCISES)
    except ValueError as error:
        assert str(error)
    else:
        assert result.fit.overall.fit_factor > 0


def test_memory_does_not_grow_with_the_file(tmp_path: Path) -> None:
    """A log takes no more memory than one a quarter as long."""
    used = []
    for rows in (90_000, 360_000):
        run = [(rows // 3, "ambient", "", 1000), (rows // 3, "mask", "talking", 7), (rows // 3, "ambient", "", 1000)]
        path = logs.write(tmp_path, logs.text_of(run))
        tracemalloc.start()
        assert isinstance(read_counts(path), RunLog)
        used.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert used[1] < used[0] * 1.2
