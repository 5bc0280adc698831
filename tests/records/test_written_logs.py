"""Logs as counters and people write them: the same run in every layout gives the same fit factors."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings

from builder.fit.counts.doubt_texts import REMARKS
from builder.fit.counts.run_log import RunLog
from builder.fit.counts.run_result import run_result
from builder.records.count_logs import read_counts
from builder.records.logs.log_said import EXERCISES
from builder.records.logs.schedules import schedule_of
from tests.conftest import FIXTURE_KEPT
from tests.records import logs, written_logs
from tests.records.drawn_logs import layouts, unphased


@pytest.mark.parametrize("way", written_logs.WAYS)
def test_the_same_run_in_every_layout(tmp_path: Path, way: str) -> None:
    log = read_counts(logs.write(tmp_path, written_logs.WAYS[way]))
    assert isinstance(log, RunLog), log.shown
    result = run_result(log, EXERCISES)
    fit = result.fit
    assert {found.exercise: found.result.fit_factor for found in fit.exercises} == pytest.approx(
        written_logs.FIT_FACTORS, rel=0.01
    )
    assert fit.overall.fit_factor == pytest.approx(written_logs.OVERALL, rel=0.01)
    possible = {*REMARKS, "backwards", "gaps", "overlaps", "repeats", "coarse_clock", "no_start"}
    assert tuple(doubt.id for doubt in result.doubts if doubt.id in possible) == written_logs.TOLD.get(way, ())


@settings(suppress_health_check=FIXTURE_KEPT, max_examples=150)
@given(layouts())
def test_a_known_truth_in_any_layout(tmp_path: Path, drawn: tuple[bytes, list[int], int]) -> None:
    """The fit factor of each exercise is ambient / mask, that of all four their harmonic mean."""
    content, in_mask, ambient = drawn
    log = read_counts(logs.write(tmp_path, content))
    assert isinstance(log, RunLog), log.shown
    fit = run_result(log, EXERCISES).fit
    assert [found.result.fit_factor for found in fit.exercises] == pytest.approx(
        [ambient / count for count in in_mask], rel=0.01
    )
    assert fit.overall.fit_factor == pytest.approx(4 * ambient / sum(in_mask), rel=0.01)


@settings(suppress_health_check=FIXTURE_KEPT, max_examples=60)
@given(unphased())
def test_time_and_counts_alone_with_a_schedule(tmp_path: Path, drawn: tuple[str, list[int], int]) -> None:
    """Cut by the times of the protocol."""
    text, in_mask, ambient = drawn
    log = read_counts(logs.write(tmp_path, text), schedule=schedule_of("short-four-exercise"))
    assert isinstance(log, RunLog), log.shown
    fit = run_result(log, EXERCISES).fit
    for found, count in zip(fit.exercises, in_mask, strict=True):
        assert found.result.at_least == (count == 0)
        assert count == 0 or found.result.fit_factor == pytest.approx(ambient / count, rel=0.01)
    assert sum(in_mask) == 0 or fit.overall.fit_factor == pytest.approx(4 * ambient / sum(in_mask), rel=0.01)
