"""A fit factor is written down as each kind of contributor does, and the details add up to it."""

from __future__ import annotations

import numpy as np
import pytest

from builder.demo.loggers import LOGGERS, Logger
from builder.demo.readings import three_digits, write_result
from builder.fit.counts.fit_factor import overall_fit_factor
from builder.records.overall import averaged
from builder.records.vocabulary import Exercise, Protocol

LONG = next(logger for logger in LOGGERS if logger.protocol is Protocol.EIGHT_EXERCISE)
COUNTER = next(logger for logger in LOGGERS if logger.counts)
CAPPED = next(logger for logger in LOGGERS if logger.ceiling == 200)


@pytest.fixture
def rng() -> np.random.Generator:
    return np.random.default_rng(1)


def test_exercises_average_to_the_fit_factor(rng: np.random.Generator) -> None:
    result = write_result(64.2, LONG, with_exercises=True, set_aside=None, rng=rng)
    assert len(result.exercise) == 8
    assert overall_fit_factor([e.fit_factor or 0 for e in averaged(result)]) == pytest.approx(64.2, rel=0.005)
    assert result.fit_factor == pytest.approx(64.2, rel=0.01)
    assert [e.fit_factor for e in result.exercise if e.name is Exercise.GRIMACE] == [None]


def test_a_ceiling_is_the_value_and_at_least(rng: np.random.Generator) -> None:
    above = write_result(731, CAPPED, with_exercises=False, set_aside=None, rng=rng)
    below = write_result(73.14, CAPPED, with_exercises=False, set_aside="The probe hose came off", rng=rng)
    assert (above.fit_factor, above.at_least, above.set_aside) == (200, True, None)
    assert (below.fit_factor, below.at_least, below.set_aside) == (73.1, False, "The probe hose came off")


def test_an_exercise_at_the_ceiling_makes_the_whole_at_least(rng: np.random.Generator) -> None:
    short = next(logger for logger in LOGGERS if logger.exercises and np.isfinite(logger.ceiling))
    result = write_result(short.ceiling * 3, short, with_exercises=True, set_aside=None, rng=rng)
    assert all(exercise.at_least for exercise in result.exercise)
    assert (result.fit_factor, result.at_least) == (short.ceiling, True)


def test_counts_scatter_around_the_fit_factor(rng: np.random.Generator) -> None:
    written = [write_result(30, COUNTER, with_exercises=False, set_aside=None, rng=rng).fit_factor for _ in range(300)]
    assert np.mean(np.log(np.array(written, dtype=float))) == pytest.approx(np.log(30), abs=0.06)


@pytest.mark.parametrize("logger", LOGGERS)
def test_nothing_is_written_below_one(logger: Logger, rng: np.random.Generator) -> None:
    results = [write_result(1, logger, with_exercises=True, set_aside=None, rng=rng) for _ in range(200)]
    assert min(result.fit_factor or 0 for result in results) >= 1


@pytest.mark.parametrize(("value", "shown"), [(64.27, 64.3), (1234.5, 1230), (0.7, 1), (9.996, 10)])
def test_three_digits(value: float, shown: float) -> None:
    assert three_digits(value) == shown
