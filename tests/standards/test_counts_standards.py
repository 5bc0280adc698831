"""From a log to fit factors, against published formulas and values worked out by hand."""

import math
from pathlib import Path

import pytest
from scipy.stats import binomtest, chi2

from builder.fit.counts.poisson import zero_count_limit
from builder.fit.counts.run_log import Purge, RunLog
from builder.fit.counts.run_result import RunResult, run_result
from builder.records.count_logs import read_counts
from builder.records.logs.log_said import EXERCISES
from builder.records.vocabulary import PROTOCOL_TIMES, Protocol
from tests.records import logs

NO_PURGE = Purge()


def result_of(folder: Path, text: str, purge: Purge = NO_PURGE) -> RunResult:
    log = read_counts(logs.write(folder, text), purge)
    assert isinstance(log, RunLog)
    return run_result(log, EXERCISES)


def test_eight_exercises(tmp_path: Path) -> None:
    """29 CFR 1910.134 App. A: harmonic mean of seven, the grimace left out (74 FR 3526; formula from memory).

    Ambient air of 1000/s before and after each exercise. In-mask rates of 10, 5, 20, 20, 50, (500), 10 and 5 a second
    are fit factors of 100, 200, 50, 50, 20, (2), 100 and 200; 7 / (.01 + .005 + .02 + .02 + .05 + .01 + .005) = 58.333.
    """
    timing = PROTOCOL_TIMES[Protocol.EIGHT_EXERCISE]
    rates = (10, 5, 20, 20, 50, 500, 10, 5)
    run = [(5, "ambient", "", 1000)]
    for step, rate in zip(timing.steps, rates, strict=True):
        run += [(4, "purge", "", 9), (int(step.seconds), "mask", step.exercise.value, rate)]
        run += [(4, "purge", "", 9), (5, "ambient", "", 1000)]
    result = result_of(tmp_path, logs.text_of(run))
    found = [round(exercise.result.fit_factor, 9) for exercise in result.fit.exercises]
    assert found == [100, 200, 50, 50, 20, 2, 100, 200]
    assert [exercise.counted for exercise in result.fit.exercises] == [True] * 5 + [False] + [True] * 2
    assert result.fit.overall.fit_factor == pytest.approx(7 / 0.12)
    assert result.warnings == ()


def test_short_protocol(tmp_path: Path) -> None:
    """84 FR 50739, Table A-2: four exercises of 30 s, ambient air at start and end (20 and 9 s: values from memory).

    Ambient rates of 900 and 1100 a second average 1000. In-mask rates of 20, 10, 5 and 2.5: 50, 100, 200 and 400, whose
    harmonic mean is 4 / (.02 + .01 + .005 + .0025) = 106.667.
    """
    run = [
        (20, "ambient", "", 900),
        *((30, "mask", name, n) for name, n in zip(logs.SHORT, (20, 10, 5, 0), strict=True)),
    ]
    text = logs.text_of([*run, (9, "ambient", "", 1100)])
    # 2.5 a second is 75 in 30 s: all of them in the last row.
    text = text.replace("140,mask,head-up-and-down,0", "140,mask,head-up-and-down,75")
    result = result_of(tmp_path, text)
    assert [exercise.result.fit_factor for exercise in result.fit.exercises] == pytest.approx([50, 100, 200, 400])
    assert result.fit.overall.fit_factor == pytest.approx(106.666667)


@pytest.mark.parametrize(
    ("ambient", "mask", "expected"),
    [
        ((1000, 10), (10, 30), (300, 162.4, 627.5)),
        ((500, 5), (3, 30), (1000, 340.2, 4865.5)),
        ((20000, 20), (100, 30), (300, 246.5, 368.9)),
        ((100, 10), (1, 30), (300, 52.6, 11966.4)),
    ],
)
def test_interval_of_a_ratio(
    tmp_path: Path, ambient: tuple[int, int], mask: tuple[int, int], expected: tuple[float, float, float]
) -> None:
    """Przyborowski & Wilenski, Biometrika 1940;31:313 (computed): particles and seconds of room air and mask."""
    text = f"seconds,phase,particles\n{ambient[1]},ambient,{ambient[0]}\n{ambient[1] + mask[1]},mask,{mask[0]}\n"
    found = result_of(tmp_path, text).fit.overall
    assert (found.fit_factor, found.low95, found.high95) == pytest.approx(expected, rel=5e-4)
    share = binomtest(ambient[0], ambient[0] + mask[0]).proportion_ci(0.95, "exact")
    assert found.low95 == pytest.approx(share.low / (1 - share.low) * mask[1] / ambient[1])


@pytest.mark.parametrize(
    ("particles", "low", "high"),
    [
        (1, 0.0253, 5.572),
        (2, 0.2422, 7.225),
        (3, 0.6187, 8.767),
        (5, 1.623, 11.668),
        (10, 4.795, 18.390),
        (20, 12.217, 30.888),
        (50, 37.111, 65.919),
        (100, 81.364, 121.627),
    ],
)
def test_interval_of_a_count(tmp_path: Path, particles: int, low: float, high: float) -> None:
    """F. Garwood, Biometrika 1936;28:437 (10 read, the others computed): L = ½χ²(α/2; 2n) and so on.

    With room air counted without end, only the mask's count errs.
    """
    text = f"seconds,phase,particles\n60,ambient,1000000000000\n120,mask,{particles}\n"
    found = result_of(tmp_path, text).fit.overall
    expected = [found.fit_factor * particles / limit for limit in (high, low)]
    assert (found.low95, found.high95) == pytest.approx(expected, rel=1e-3)
    assert found.fit_factor * particles / found.low95 == pytest.approx(chi2.ppf(0.975, 2 * particles + 2) / 2)


def test_limits_of_no_count(tmp_path: Path) -> None:
    """The same (0 read): at no count at most 2.996 were expected, the rule of three, and 3.689 with 97.5 %."""
    found = result_of(tmp_path, "seconds,phase,particles\n60,ambient,1000000000000\n120,mask,0\n").fit.overall
    assert found.at_least
    assert 1e12 / found.fit_factor == pytest.approx(2.996, abs=5e-4)
    assert 1e12 / zero_count_limit(1e12, 1e12, alpha=0.025) == pytest.approx(3.689, abs=5e-4)


def test_counts_by_the_second_with_purge(tmp_path: Path) -> None:
    """Purges of 5 and 10 s, ambient rates averaged: 6000 and 6600 in 30 s, 120 in 60 s give 105 (computed)."""
    run = [(5, "ambient", "", 100), (30, "ambient", "", 200), (10, "mask", "", 50), (60, "mask", "", 2)]
    run += [(5, "ambient", "", 60), (30, "ambient", "", 220)]
    result = result_of(tmp_path, logs.text_of(run), Purge(5, 10))
    assert [phase.particles for phase in result.phases] == [6000, 120, 6600]
    overall = result.fit.overall
    assert (overall.fit_factor, overall.low95, overall.high95) == pytest.approx((105, 87.728999, 126.751319), rel=1e-6)
    drift = result.fit.drift
    assert drift is not None
    assert drift.ratio == pytest.approx(1.1)
    assert result.warnings == ()  # significant, p = 9e-8, but no more than a fifth


def test_no_particle_in_the_mask(tmp_path: Path) -> None:
    """Howie, J. Int. Soc. Respir. Prot. 2000: a right-censored value. Exact limit 4205.483349 (computed)."""
    run = [(30, "ambient", "", 200), (60, "mask", "talking", 0), (30, "ambient", "", 220)]
    overall = result_of(tmp_path, logs.text_of(run)).fit.overall
    assert overall.at_least
    assert overall.fit_factor == overall.low95 == pytest.approx(4205.483349, rel=1e-6)
    assert overall.high95 == math.inf


def test_no_particle_in_one_exercise_pools_the_counts(tmp_path: Path) -> None:
    """Phases of equal length pool: 3 particles in 120 s beside 1000 a second are 40,000 (computed by hand)."""
    run = [(20, "ambient", "", 1000), *((30, "mask", name, 0) for name in logs.SHORT), (9, "ambient", "", 1000)]
    text = logs.text_of(run).replace("50,mask,bending-over,0", "50,mask,bending-over,3")
    result = result_of(tmp_path, text)
    assert [exercise.result.at_least for exercise in result.fit.exercises] == [False, True, True, True]
    assert not result.fit.overall.at_least
    assert result.fit.overall.fit_factor == pytest.approx(40_000)
