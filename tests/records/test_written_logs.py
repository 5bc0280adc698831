"""Logs as counters and people write them: the same run in every layout gives the same fit factors."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.fit.counts.run_log import RunLog
from builder.fit.counts.run_result import run_result
from builder.records.count_logs import read_counts
from builder.records.logs.log_reading import EXERCISES
from builder.records.logs.schedules import schedule_of
from tests.conftest import FIXTURE_KEPT
from tests.records import logs, written_logs
from tests.records.written_logs import START, Second, seconds


@pytest.mark.parametrize("way", written_logs.WAYS)
def test_the_same_run_in_every_layout(tmp_path: Path, way: str) -> None:
    log = read_counts(logs.write(tmp_path, written_logs.WAYS[way]))
    assert isinstance(log, RunLog), log.shown
    fit = run_result(log, EXERCISES).fit
    assert {found.exercise: found.result.fit_factor for found in fit.exercises} == pytest.approx(
        written_logs.FIT_FACTORS, rel=0.01
    )
    assert fit.overall.fit_factor == pytest.approx(written_logs.OVERALL, rel=0.01)


PHASES = {
    "ambient": ["ambient", "Ambient", "ROOM", "room air", "Outside", "amb. 1", "background"],
    "mask": ["mask", "In mask", "INSIDE", "respirator", "Mask on"],
    "purge": ["purge", "Purging", "flush", "settle"],
}
DOINGS = {
    "bending-over": ["bending-over", "Bend", "bending at the waist", "BO"],
    "talking": ["talking", "Talk", "reading aloud", "Speech"],
    "head-side-to-side": ["head-side-to-side", "Side to side", "turn head", "left/right"],
    "head-up-and-down": ["head-up-and-down", "Up and down", "nodding", "UP DOWN"],
    "": ["", "-"],
}
TIMES: dict[str, Callable[[int], str]] = {
    "Time (s)": lambda at: f"{at:.1f}",
    "Elapsed (min)": lambda at: f"{at / 60:.7f}",
    "clock": lambda at: f"{START + timedelta(seconds=at):%H:%M:%S}",
    "Timestamp": lambda at: f"{START + timedelta(seconds=at):%Y-%m-%dT%H:%M:%S+02:00}",
    "Date and time": lambda at: f"{START + timedelta(seconds=at):%d.%m.%Y %H:%M:%S}",
    "Epoch": lambda at: f"{1_789_221_800 + at}",
    "Unix time": lambda at: f"{(1_789_221_800 + at) * 1000}",
}
MEASURES: dict[str, Callable[[int], float]] = {
    "Particles": lambda count: count,
    "Conc. (#/cc)": lambda count: count / 8,
    "Concentration [particles/L]": lambda count: count * 125,
    "count/s": float,
    "PM (ug/m3)": lambda count: count / 16,
}
ENCODINGS = ["utf-8", "utf-8-sig", "utf-16", "utf-16-be", "latin-1"]
"""All of them write every character that is drawn here."""


@st.composite
def layouts(draw: st.DrawFn) -> tuple[bytes, list[int], int]:
    """Draw a run and a way to write it: the file, the particles a second in each exercise, those of the room air."""
    in_mask = draw(st.lists(st.integers(1, 900), min_size=4, max_size=4))
    ambient = draw(st.integers(1000, 60_000))
    delimiter = draw(st.sampled_from([",", ";", "\t", "|"]))
    decimal = draw(st.sampled_from(".," if delimiter != "," else "."))
    parting = draw(st.sampled_from(["", "", "." if decimal == "," else ",", " ", "'"]))
    time, measure = draw(st.sampled_from(list(TIMES))), draw(st.sampled_from(list(MEASURES)))
    said = {phase: draw(st.sampled_from(names)) for phase, names in PHASES.items()}
    done = {exercise: draw(st.sampled_from(names)) for exercise, names in DOINGS.items()}
    joined = draw(st.booleans())

    def number(value: float) -> str:
        text = f"{value:,.4f}" if isinstance(value, float) else f"{value:,}"
        text = text.replace(",", "\0").replace(".", decimal).replace("\0", parting)
        return f'"{text}"' if delimiter in text else text

    def cells(second: Second) -> list[str]:
        at = TIMES[time](second.at)
        phase, exercise = said[second.phase], done[second.exercise]
        return [
            at.replace(".", decimal) if time in ("Time (s)", "Elapsed (min)") else at,
            f"{phase} {exercise}".strip(" -") if joined and second.phase == "mask" else phase,
            "" if joined else exercise,
            number(MEASURES[measure](second.particles)),
            number(20.5 + second.at % 3),
        ]

    names = [time, draw(st.sampled_from(["Phase", "sample", "Location"])), "Exercise", measure, "Temperature (C)"]
    order = draw(st.permutations(range(5)))
    rows = [names, *map(cells, seconds(in_mask, ambient))]
    above = draw(st.sampled_from(["", "Log of a run\n", "Serial: 12\nStart: 14:03\n\n", "# made at home\n"]))
    end = draw(st.sampled_from(["\n", "\r\n"]))
    text = above + "".join(delimiter.join(row[place] for place in order) + end for row in rows)
    return text.encode(draw(st.sampled_from(ENCODINGS))), in_mask, ambient


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
@given(
    st.lists(st.integers(0, 90), min_size=4, max_size=4),
    st.integers(1000, 60_000),
    st.tuples(st.integers(-15, 90), st.integers(0, 60)),
    st.sampled_from(["Time (s),Count", "Zeit;Anzahl", "t\tParticles"]),
)
def test_time_and_counts_alone_with_a_schedule(
    tmp_path: Path, in_mask: list[int], ambient: int, around: tuple[int, int], header: str
) -> None:
    """A log that begins up to 15 s late or a minute and a half early, cut by the times of the protocol."""
    late, after = around
    parts = [ambient] * (20 + late) + [ambient // 3, ambient // 6] + [in_mask[0]] * 9
    parts += [count for count in in_mask for _ in range(30)] + [ambient] * (4 + 9 + after)
    mark = next(mark for mark in ",;\t" if mark in header)
    text = "\n".join([header, *(f"{at}{mark}{count}" for at, count in enumerate(parts, 1))])
    log = read_counts(logs.write(tmp_path, text), schedule=schedule_of("short-four-exercise"))
    assert isinstance(log, RunLog), log.shown
    fit = run_result(log, EXERCISES).fit
    for found, count in zip(fit.exercises, in_mask, strict=True):
        assert found.result.at_least == (count == 0)
        assert count == 0 or found.result.fit_factor == pytest.approx(ambient / count, rel=0.01)
    assert sum(in_mask) == 0 or fit.overall.fit_factor == pytest.approx(4 * ambient / sum(in_mask), rel=0.01)
