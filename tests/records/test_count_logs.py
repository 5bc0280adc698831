"""Logs of runs, good and hostile."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import pytest
from hypothesis import given, settings

from builder.fit.counts.run_log import NO_PURGE, Purge, RunLog
from builder.fit.counts.run_result import run_result
from builder.fit.counts.sampled_air import PURGE
from builder.records.count_logs import read_counts
from builder.records.csv_tables import TableProblems
from builder.records.logs.log_said import EXERCISES
from tests.conftest import FIXTURE_KEPT
from tests.records import logs
from tests.records.broken_logs import BROKEN, HEADER
from tests.records.drawn_logs import hostile


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


@pytest.mark.parametrize(("text", "problems"), BROKEN)
def test_each_problem_is_named_at_its_place(
    tmp_path: Path, text: str | bytes, problems: list[tuple[int, str, str]]
) -> None:
    assert problems_of(tmp_path, text) == problems


def test_a_problem_of_many_rows_is_told_once(tmp_path: Path) -> None:
    found = read_counts(logs.write(tmp_path, HEADER + "1,mask,,x\n" * 30_000))
    assert isinstance(found, TableProblems)
    assert (len(found.shown), found.total) == (1, 30_000)


@settings(suppress_health_check=FIXTURE_KEPT, max_examples=300)
@given(hostile())
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
    for rows in (45_000, 180_000):
        run = [(rows // 3, "ambient", "", 1000), (rows // 3, "mask", "talking", 7), (rows // 3, "ambient", "", 1000)]
        path = logs.write(tmp_path, logs.text_of(run))
        tracemalloc.start()
        assert isinstance(read_counts(path), RunLog)
        used.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert used[1] < used[0] * 1.2
