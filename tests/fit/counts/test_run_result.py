from collections.abc import Sequence
from dataclasses import replace

import pytest

from builder.fit.counts.log_clock import Clock, Irregular
from builder.fit.counts.run_log import RunLog, Stretch
from builder.fit.counts.run_result import run_result
from builder.fit.counts.sampled_air import AMBIENT, MASK, PURGE

EXERCISES = ("", "talking", "grimace")


def log(*stretches: tuple[int, int, float, float], counted: bool = True, clock: Clock | None = None) -> RunLog:
    """Make a log of stretches given as kind, exercise, seconds, amount."""
    made, begin = [], 0.0
    for kind, exercise, seconds, amount in stretches:
        made.append(Stretch(kind, exercise, int(begin) + 2, begin, begin + seconds, seconds, amount, 0.0))
        begin += seconds
    return RunLog(tuple(made), counted, clock or Clock(), ())


def warnings(run: RunLog, exercises: Sequence[str] = EXERCISES) -> tuple[str, ...]:
    return run_result(run, exercises).warnings


AIR = (AMBIENT, 0, 20.0, 20_000.0)
TALKING = (MASK, 1, 30.0, 60.0)


def test_a_run_without_a_doubt() -> None:
    result = run_result(log(AIR, (PURGE, 0, 5, 0), TALKING, AIR), EXERCISES)
    assert result.fit.overall.fit_factor == 500
    assert [(phase.kind, phase.exercise, phase.particles) for phase in result.phases] == [
        ("ambient", "", 20_000),
        ("mask", "talking", 60),
        ("ambient", "", 20_000),
    ]
    assert result.warnings == ()


def test_the_grimace_is_left_out() -> None:
    result = run_result(log(AIR, TALKING, (MASK, 2, 15, 3000), AIR), EXERCISES)
    assert result.fit.overall.fit_factor == 500
    assert [exercise.counted for exercise in result.fit.exercises] == [True, False]


def test_counts_from_flow_are_whole() -> None:
    [_, mask, _] = run_result(log(AIR, (MASK, 1, 30, 59.7), AIR), EXERCISES).phases
    assert mask.particles == 60


def test_concentrations_give_no_interval() -> None:
    result = run_result(log(AIR, TALKING, AIR, counted=False), EXERCISES)
    assert result.phases[1].concentration == 2
    assert result.fit.overall.fit_factor == 500
    assert result.fit.overall.low95 != result.fit.overall.low95


@pytest.mark.parametrize("stretches", [(), (AIR,), (TALKING,), (AIR, (MASK, 2, 15, 3))])
def test_what_gives_no_fit_factor_is_refused(stretches: tuple[tuple[int, int, float, float], ...]) -> None:
    with pytest.raises(ValueError, match="A run needs"):
        run_result(log(*stretches), EXERCISES)


@pytest.mark.parametrize(
    ("run", "warning"),
    [
        (
            log(AIR, (MASK, 1, 14, 60), AIR),
            "Too short a sample: mask, talking, from row 22, 14 s. Published protocols sample 15 s or more.",
        ),
        (
            log((AMBIENT, 0, 4, 4000), TALKING, AIR),
            "Too short a sample: ambient, from row 2, 4 s. Published protocols sample 5 s or more.",
        ),
        (
            log(AIR, TALKING, (AMBIENT, 0, 20, 30_000)),
            "The ambient level changed ×1.5 between two samplings. "
            "Keep doors shut, and the source of particles steady.",
        ),
        (
            log(AIR, TALKING, (AMBIENT, 0, 20, 5_000)),
            "The ambient level changed ×0.25 between two samplings: too much to be averaged. "
            "Repeat the run, or set it aside.",
        ),
        (
            log((AMBIENT, 0, 20, 100), (MASK, 1, 30, 1), (MASK, 2, 15, 0), (AMBIENT, 0, 20, 100)),
            "Too few ambient counts to show a fit factor of 100 even without a particle in the mask: talking. "
            "Count longer, or raise the ambient level.",
        ),
        (
            log(AIR, (MASK, 1, 30, 60_000), AIR),
            "The counts give a fit factor of 0.5: more particles in the mask than outside. "
            "Check which rows are ambient and which mask.",
        ),
        (
            log(AIR, TALKING, AIR, clock=Clock(no_start=2)),
            "Row 2 is left out: its time does not count from the start of the log, so its interval is unknown.",
        ),
        (
            log(AIR, TALKING, AIR, clock=Clock(usual=1, gaps=Irregular(2, 40, 7.0))),
            "2 gaps (first in row 40) in time, the longest of 7 s, where rows are 1 s apart. "
            "The row after a gap is taken to cover 1 s.",
        ),
        (
            log(AIR, TALKING, AIR, clock=Clock(usual=1, overlaps=Irregular(1, 40, 0.2))),
            "1 overlap (first in row 40) in time: rows much closer together than the usual 1 s.",
        ),
        (
            log(AIR, TALKING, AIR, clock=Clock(repeats=Irregular(1, 40))),
            "1 row (first in row 40) with the same time as the row before: left out.",
        ),
        (
            log(AIR, TALKING, AIR, clock=Clock(backwards=Irregular(1, 40, 3600.0))),
            "1 step (first in row 40) of the clock backwards, by up to 3600 s: the row after a step is left out.",
        ),
    ],
)
def test_each_doubt_is_told(run: RunLog, warning: str) -> None:
    assert warnings(run) == (warning,)


@pytest.mark.parametrize("particles", [30_000, 29_000, 16_000])
def test_as_many_particles_in_the_mask_as_outside_are_no_doubt_yet(particles: float) -> None:
    assert warnings(log(AIR, (MASK, 1, 30, particles), AIR)) == ()


@pytest.mark.parametrize(
    ("seconds", "warning"),
    [
        (0.0, "Nothing is left of mask, talking, from row 30: the purge takes 20 s."),
        (
            16.0,
            "Of mask, talking, from row 30, only 16 s are left after a purge of 20 s: "
            "sample longer, or make the hose shorter.",
        ),
    ],
)
def test_a_phase_hardly_longer_than_its_purge(seconds: float, warning: str) -> None:
    short = Stretch(MASK, 1, 30, 50, 70 + seconds, seconds, 30.0 * bool(seconds), 20.0)
    run = log(AIR, TALKING, AIR)
    assert warnings(RunLog((*run.stretches, short, run.stretches[0]), True, Clock(), ())) == (warning,)


def test_a_doubt_of_several_phases_is_told_once() -> None:
    run = log(AIR, (MASK, 1, 12, 60), (MASK, 0, 11, 60), AIR)
    assert warnings(run) == (
        "Too short a sample: mask, talking, from row 22, 12 s; mask, from row 34, 11 s. "
        "Published protocols sample 15 s or more.",
    )


@pytest.mark.parametrize(
    ("stretches", "warning"),
    [
        (
            (AIR, TALKING),
            "No room air was sampled after the mask: what was sampled before it stands alone, and a drift would not "
            "show.",
        ),
        (
            (TALKING, (PURGE, 0, 5.0, 0.0), AIR),
            "No room air was sampled before the mask: what was sampled after it stands alone, and a drift would not "
            "show.",
        ),
    ],
)
def test_room_air_on_one_side_alone(stretches: tuple[tuple[int, int, float, float], ...], warning: str) -> None:
    assert warnings(log(*stretches)) == (warning,)


def test_a_concentration_of_nought_is_a_lower_limit() -> None:
    run = replace(log(AIR, (MASK, 1, 30, 0.0), (MASK, 0, 30, 60.0), AIR, counted=False), least=0.5)
    result = run_result(run, EXERCISES)
    assert [(one.result.fit_factor, one.result.at_least) for one in result.fit.exercises] == [
        (2000, True),
        (500, False),
    ]
    assert result.fit.overall.fit_factor == pytest.approx(2 / (1 / 2000 + 1 / 500))
    assert result.fit.overall.at_least
    assert result.warnings == (
        "No particle shows in talking. Without the sampled air the limit rests on the smallest reading of the log, "
        "0.5: give particle counts, or the flow in a column flow_cm3_s.",
    )
