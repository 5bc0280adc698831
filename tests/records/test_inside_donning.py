"""What another protocol would have read in the same donning."""

from __future__ import annotations

import pytest

from builder.records.inside_donning import read_by
from builder.records.models import ExerciseResult, Result
from builder.records.vocabulary import Exercise, Protocol

FOUR = [Exercise.BENDING_OVER, Exercise.TALKING, Exercise.HEAD_SIDE_TO_SIDE, Exercise.HEAD_UP_AND_DOWN]


def result(readings: list[tuple[Exercise, float | None]], *, at_least: int = -1, by: str = "eight-exercise") -> Result:
    exercises = tuple(
        ExerciseResult(name=name, fit_factor=value, at_least=place == at_least)
        for place, (name, value) in enumerate(readings)
    )
    return Result(protocol=Protocol(by), exercise=exercises)


def test_the_first_normal_breathing_is_the_one_exercise() -> None:
    found = result([(Exercise.NORMAL_BREATHING, 200.0), (Exercise.TALKING, 50.0), (Exercise.NORMAL_BREATHING, 90.0)])
    assert read_by(Protocol.ONE_EXERCISE, found) == pytest.approx(200)


def test_the_four_are_averaged_as_leaks() -> None:
    readings: list[tuple[Exercise, float | None]] = [
        (Exercise.NORMAL_BREATHING, 900.0),
        *zip(FOUR, (20.0, 40.0, 80.0, 80.0), strict=True),
    ]
    found = read_by(Protocol.SHORT_FOUR_EXERCISE, result(readings))
    assert found == pytest.approx(4 / (1 / 20 + 1 / 40 + 1 / 80 + 1 / 80))


def test_nothing_is_guessed() -> None:
    breathing: list[tuple[Exercise, float | None]] = [(Exercise.NORMAL_BREATHING, 200.0), (Exercise.GRIMACE, None)]
    assert read_by(Protocol.SHORT_FOUR_EXERCISE, result(breathing)) is None
    assert read_by(Protocol.ONE_EXERCISE, result(breathing, at_least=0)) is None
    assert read_by(Protocol.ONE_EXERCISE, result(breathing, by="one-exercise")) is None
    assert read_by(Protocol.ONE_EXERCISE, result([])) is None
