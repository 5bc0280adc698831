"""What the way of measuring does to a fit factor at the invented bench, in ln and beside `REFERENCE`."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from builder.demo.loggers import LONG_TEST, Logger
from builder.demo.readings import HARDNESS
from builder.fit.arrays import FloatArray
from builder.records.vocabulary import PROTOCOL_TIMES, Exercise, Instrument, Protocol, SizeSelection

REFERENCE = LONG_TEST
"""Eight exercises on a condensation counter that counts all sizes: the method the truth is stated for."""

INSTRUMENTS = {Instrument.CONDENSATION: 0.0, Instrument.OPTICAL: 0.3, Instrument.SENSOR: -0.25}
SIZES = {SizeSelection.ALL: 0.0, SizeSelection.NARROW: 0.2}
PASSING = {SizeSelection.ALL: 1.0, SizeSelection.NARROW: 0.2}
"""Share of the filter's penetration that is counted: a narrow band hardly passes the filter."""

WEARER_METHOD = 0.15
"""Standard deviation of what differs from wearer to wearer."""


def effects(loggers: Iterable[Logger]) -> FloatArray:
    """Give what each logger's method does to ln fit factor. That of the protocol follows from the exercises."""
    return np.array(
        [
            _ease(logger.protocol) - _ease(REFERENCE.protocol) + INSTRUMENTS[logger.instrument] + SIZES[logger.sizes]
            for logger in loggers
        ]
    )


def passing(loggers: Iterable[Logger]) -> FloatArray:
    """Give the share of the filter's penetration that each logger counts."""
    return np.array([PASSING[logger.sizes] for logger in loggers])


def _ease(protocol: Protocol) -> float:
    """Give ln of the overall value beside that of the easiest exercise: the harmonic mean without the grimace."""
    exercises = [step.exercise for step in PROTOCOL_TIMES[protocol].steps if step.exercise is not Exercise.GRIMACE]
    return float(-np.log(np.mean([1 / HARDNESS[exercise] for exercise in exercises])))
