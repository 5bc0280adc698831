import math
from dataclasses import astuple

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.counts.counting import (
    ZERO_COUNT_LOG_SD,
    SampledPhase,
    Segment,
    ambient_drift,
    ambient_enough,
    counted_fit_factor,
    run_fit_factor,
)
from builder.fit.counts.fit_factor import overall_fit_factor
from builder.fit.counts.poisson import log_sd

AIR = Segment(6000, 30)


def air(particles: float, seconds: float = 30) -> SampledPhase:
    return SampledPhase("ambient", seconds, particles)


def mask(particles: float, seconds: float = 30, exercise: str = "talking") -> SampledPhase:
    return SampledPhase("mask", seconds, particles, exercise=exercise)


@pytest.mark.parametrize(
    ("particles", "seconds", "message"),
    [(-1, 30, "0 or more"), (math.nan, 30, "0 or more"), (5, 0, "more than 0 seconds"), (5, math.inf, "seconds")],
)
def test_impossible_segments_are_refused(particles: float, seconds: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        Segment(particles, seconds)


def test_one_ambient_segment_stands_alone() -> None:
    alone = counted_fit_factor(Segment(60, 60), before=Segment(12000, 60))
    assert alone == counted_fit_factor(Segment(60, 60), after=Segment(12000, 60))
    assert alone.fit_factor == 200


def test_spread_is_that_of_the_counts_in_the_mask() -> None:
    assert counted_fit_factor(Segment(60, 20), AIR, Segment(4000, 10)).log_sd == log_sd(60)
    assert counted_fit_factor(Segment(0, 20), AIR).log_sd == ZERO_COUNT_LOG_SD


def test_unequal_ambient_times_average_the_rates() -> None:
    result = counted_fit_factor(Segment(30, 30), Segment(1000, 10), Segment(6000, 30))
    assert result.fit_factor == pytest.approx(150)
    # The ambient counts carry the information of Camb²/v = 5400 particles.
    single = counted_fit_factor(Segment(30, 30), Segment(5400, 36))
    assert (result.low95, result.high95) == pytest.approx((single.low95, single.high95))


def test_no_ambient_particle_is_refused() -> None:
    with pytest.raises(ValueError, match="No particle was counted in the ambient air"):
        counted_fit_factor(Segment(3, 30), Segment(0, 30), Segment(0, 30))
    with pytest.raises(ValueError, match="ambient count before or after"):
        counted_fit_factor(Segment(3, 30))


@given(st.integers(1, 10**6), st.integers(1, 10**5), st.floats(1, 600))
def test_the_interval_holds_the_fit_factor(ambient: int, particles: int, seconds: float) -> None:
    result = counted_fit_factor(Segment(particles, seconds), Segment(ambient, 30))
    assert 0 < result.low95 < result.fit_factor < result.high95 < math.inf


def test_ambient_enough() -> None:
    assert ambient_enough(30, Segment(12000, 60))
    assert not ambient_enough(30, Segment(50, 20))
    run = run_fit_factor([air(12000, 60), mask(5), air(12000, 60), air(50, 20), mask(5, 20)])
    assert [exercise.ambient_enough for exercise in run.exercises] == [True, False]


def test_drift_needs_both_size_and_significance_to_warn() -> None:
    small_but_sure = ambient_drift(Segment(60000, 30), Segment(66000, 30))
    assert small_but_sure.p_value < 1e-6 and not small_but_sure.warn
    large_but_by_chance = ambient_drift(Segment(10, 30), Segment(14, 30))
    assert large_but_by_chance.p_value > 0.01 and not large_but_by_chance.warn
    sure_but_not_large = ambient_drift(Segment(6000, 30), Segment(2550, 15))
    assert sure_but_not_large.ratio == pytest.approx(0.85) and not sure_but_not_large.warn
    assert ambient_drift(Segment(6000, 30), Segment(2400, 15)).warn
    assert ambient_drift(Segment(6000, 30), Segment(12600, 30)).refuse
    assert not ambient_drift(Segment(6000, 30), Segment(12000, 30)).refuse


def test_drift_from_nothing_and_to_nothing() -> None:
    assert ambient_drift(Segment(0, 30), AIR).ratio == math.inf
    gone = ambient_drift(AIR, Segment(0, 30))
    assert (gone.ratio, gone.low95, gone.refuse) == (0, 0, True)
    with pytest.raises(ValueError, match="No particle"):
        ambient_drift(Segment(0, 30), Segment(0, 30))


def test_phases_with_impossible_measures_are_refused() -> None:
    with pytest.raises(ValueError, match="either a particle count or a concentration"):
        SampledPhase("mask", 30)
    with pytest.raises(ValueError, match="either a particle count or a concentration"):
        SampledPhase("mask", 30, particles=3, concentration=4)
    with pytest.raises(ValueError, match="concentration is 0 or more"):
        SampledPhase("mask", 30, concentration=-1)
    with pytest.raises(ValueError, match="particle count is 0 or more"):
        SampledPhase("mask", 30, particles=-1)
    with pytest.raises(ValueError, match="more than 0 seconds"):
        SampledPhase("mask", 0, concentration=1)


def test_each_mask_phase_takes_the_nearest_ambient_phases() -> None:
    run = run_fit_factor([air(9999), air(3000), mask(30), mask(30), air(6000), mask(30)])
    assert [exercise.result.fit_factor for exercise in run.exercises] == pytest.approx([150, 150, 200])


def test_a_run_of_one_exercise_is_that_exercise() -> None:
    run = run_fit_factor([air(6000), mask(60, 60), air(6600)])
    single = counted_fit_factor(Segment(60, 60), Segment(6000, 30), Segment(6600, 30))
    assert astuple(run.overall) == pytest.approx(astuple(single))
    assert run.exercises[0].result == run.overall
    assert run.drift == ambient_drift(Segment(6000, 30), Segment(6600, 30))


def test_equal_times_in_one_ambient_level_pool_exactly() -> None:
    run = run_fit_factor([air(6000), mask(30), mask(40), mask(15), mask(75), air(6000)])
    pooled = counted_fit_factor(Segment(160, 120), Segment(6000, 30), Segment(6000, 30))
    assert run.overall.fit_factor == pytest.approx(150)
    assert astuple(run.overall) == pytest.approx(astuple(pooled))


def test_the_grimace_is_left_out() -> None:
    without = run_fit_factor([air(6000), mask(30), mask(60), air(6000)])
    with_it = run_fit_factor([air(6000), mask(30), mask(900, exercise="Grimace"), mask(60), air(6000)])
    assert with_it.overall == without.overall
    assert [exercise.counted for exercise in with_it.exercises] == [True, False, True]
    with pytest.raises(ValueError, match="other than the grimace"):
        run_fit_factor([air(6000), mask(9, exercise="grimace")])


def test_an_exercise_without_a_particle_is_pooled() -> None:
    run = run_fit_factor([air(6000), mask(0), mask(12), air(6000)])
    assert run.exercises[0].result.at_least
    assert not run.overall.at_least
    pooled = counted_fit_factor(Segment(12, 60), Segment(6000, 30), Segment(6000, 30))
    assert astuple(run.overall) == pytest.approx(astuple(pooled))


def test_a_run_without_a_particle_is_at_least_its_pooled_limit() -> None:
    run = run_fit_factor([air(6000), mask(0), mask(0, 60), air(6000)])
    assert run.overall.at_least
    assert run.overall.fit_factor == pytest.approx(
        counted_fit_factor(Segment(0, 90), Segment(6000, 30), Segment(6000, 30)).fit_factor
    )


@given(st.lists(st.integers(1, 400), min_size=1, max_size=8))
def test_overall_is_the_harmonic_mean_of_the_exercises(particles: list[int]) -> None:
    run = run_fit_factor([air(6000), *(mask(count) for count in particles), air(5000)])
    expected = overall_fit_factor([exercise.result.fit_factor for exercise in run.exercises])
    assert run.overall.fit_factor == pytest.approx(expected)
    assert run.overall.low95 < expected < run.overall.high95


def test_the_largest_drift_is_kept() -> None:
    run = run_fit_factor([air(6000), mask(30), air(6300), mask(30), air(2500), mask(30), air(2600)])
    assert run.drift == ambient_drift(Segment(6300, 30), Segment(2500, 30))
    assert run_fit_factor([air(6000), mask(30)]).drift is None


def test_concentrations_give_no_interval() -> None:
    phases = [
        SampledPhase("ambient", 20, concentration=5000),
        SampledPhase("mask", 30, concentration=24, exercise="bending over"),
        SampledPhase("mask", 30, concentration=48, exercise="talking"),
        SampledPhase("ambient", 9, concentration=4600),
    ]
    run = run_fit_factor(phases)
    assert [exercise.result.fit_factor for exercise in run.exercises] == pytest.approx([200, 100])
    assert run.overall.fit_factor == pytest.approx(overall_fit_factor([200, 100]))
    assert math.isnan(run.overall.low95) and math.isnan(run.overall.high95)
    assert run.overall.log_sd == 0
    assert run.drift is not None
    assert run.drift.ratio == pytest.approx(0.92)
    assert not run.drift.warn and math.isnan(run.drift.p_value)
    with pytest.raises(ValueError, match="concentration of 0"):
        run_fit_factor([*phases, SampledPhase("mask", 30, concentration=0)])


def test_concentrations_that_drift_warn() -> None:
    run = run_fit_factor(
        [SampledPhase(kind, 20, concentration=level) for kind, level in (("ambient", 50), ("mask", 1), ("ambient", 70))]  # type: ignore[arg-type]
    )
    assert run.drift is not None and run.drift.warn and not run.drift.refuse


def test_runs_that_cannot_give_a_fit_factor_say_why() -> None:
    with pytest.raises(ValueError, match="needs an ambient phase"):
        run_fit_factor([mask(3)])
    with pytest.raises(ValueError, match="needs a mask phase"):
        run_fit_factor([air(6000)])
    with pytest.raises(ValueError, match="not both"):
        run_fit_factor([air(6000), SampledPhase("mask", 30, concentration=3)])


def test_the_overall_interval_covers_in_simulated_runs() -> None:
    """Unequal exercises, times and ambient levels: about 95 of 100 intervals hold the true fit factor."""
    rng = np.random.default_rng(1)
    rates, seconds = np.array([0.1, 0.3, 0.05, 0.9]), np.array([30.0, 30.0, 20.0, 45.0])
    ambient = np.array([40.0, 50.0, 60.0])  # before, after the first two, at the end
    truth = 1 / np.mean(rates / np.array([45.0, 45.0, 55.0, 55.0]))
    held = 0
    runs = 600
    for counts, levels in zip(
        rng.poisson(rates * seconds, (runs, 4)), rng.poisson(ambient * 10, (runs, 3)), strict=True
    ):
        masks = [mask(float(count), float(time)) for count, time in zip(counts, seconds, strict=True)]
        first, second, third = (air(float(level), 10) for level in levels)
        overall = run_fit_factor([first, *masks[:2], second, *masks[2:], third]).overall
        held += overall.low95 <= truth <= overall.high95
    assert 0.93 <= held / runs <= 0.99
