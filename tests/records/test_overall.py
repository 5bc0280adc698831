"""The overall fit factor: exercises before counts before the typed value.

Expected values: 29 CFR 1910.134 App. A, harmonic mean without the grimace (formula from memory), computed by hand.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from builder.fit.counts.counting import ZERO_COUNT_LOG_SD
from builder.records.models import Result
from builder.records.overall import Reading, overall

FOUR: list[dict[str, Any]] = [
    {"name": "bending-over", "fit_factor": 50},
    {"name": "talking", "fit_factor": 100},
    {"name": "head-side-to-side", "fit_factor": 200},
    {"name": "head-up-and-down", "fit_factor": 400},
]
HARMONIC = round(4 / (1 / 50 + 1 / 100 + 1 / 200 + 1 / 400), 9)
COUNTS: list[dict[str, Any]] = [
    {"phase": "ambient", "seconds": 60, "particles": 12_000},
    {"phase": "mask", "seconds": 60, "particles": 60},
]


def result(**keys: object) -> Result:
    return Result.model_validate({"protocol": "free", **keys})


def near(reading: Reading) -> tuple[float, bool, float]:
    """Give a reading without the last digits, which floating point may change."""
    return round(reading.fit_factor, 9), reading.at_least, reading.counting_sd


def test_exercises_come_first() -> None:
    assert near(overall(result(fit_factor=7, exercise=FOUR))) == (HARMONIC, False, 0.0)


@pytest.mark.parametrize("grimace", [{"name": "grimace", "fit_factor": 2, "at_least": True}, {"name": "grimace"}])
def test_the_grimace_is_left_out(grimace: dict[str, Any]) -> None:
    assert near(overall(result(exercise=[*FOUR, grimace]))) == (HARMONIC, False, 0.0)


def test_one_exercise_at_least_makes_the_overall_value_at_least() -> None:
    limited = [*FOUR[:3], {**FOUR[3], "at_least": True}]
    assert near(overall(result(exercise=limited))) == (HARMONIC, True, 0.0)


def test_counts_come_second() -> None:
    reading = overall(result(fit_factor=7, counts=COUNTS))
    assert near(reading)[:2] == (200, False)
    assert reading.counting_sd == pytest.approx(1 / math.sqrt(60), rel=0.01)


def test_counts_say_how_sure_the_exercises_are() -> None:
    reading = overall(result(exercise=FOUR, counts=COUNTS))
    assert reading.fit_factor == pytest.approx(HARMONIC)
    assert reading.counting_sd == pytest.approx(1 / math.sqrt(60), rel=0.01)


def test_no_particle_in_the_mask_is_at_least() -> None:
    reading = overall(result(counts=[COUNTS[0], {"phase": "mask", "seconds": 30, "particles": 0}]))
    # The one-sided 95 % limit of 12000 in 60 s against 0 in 30 s, by the binomial share 0.05^(1/12000).
    share = 0.05 ** (1 / 12_000)
    assert near(reading) == (round(share / (1 - share) * 30 / 60, 9), True, ZERO_COUNT_LOG_SD)


def test_exercises_without_any_value_give_way_to_counts() -> None:
    assert overall(result(exercise=[{"name": "talking"}], counts=COUNTS)).fit_factor == pytest.approx(200)


def test_the_typed_value_comes_last() -> None:
    assert overall(result(fit_factor=64, at_least=True)) == Reading(64, True, 0.0)


def test_nothing_gives_nothing() -> None:
    with pytest.raises(ValueError, match="no fit factor, no exercises and no counts"):
        overall(result())
    with pytest.raises(ValueError, match="ambient"):
        overall(result(counts=COUNTS[1:]))
