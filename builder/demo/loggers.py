"""Who keeps the log at the invented bench: kinds of contributors, each with a way of measuring."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.records.vocabulary import Aerosol, Instrument, Protocol, SizeSelection


@dataclass(frozen=True)
class Logger:
    """How one kind of contributor measures, and what they write down beside the overall value."""

    instrument: Instrument
    sizes: SizeSelection
    aerosol: Aerosol
    protocol: Protocol
    ceiling: float
    ambient: tuple[float, float] | None
    """Range of the ambient level, particles per cubic centimetre, where they note it."""
    share: float
    """Share of the tests."""
    exercises: float = 0.0
    """Share of their sessions with every exercise written down."""
    counts: bool = False
    """Whether they give raw counts instead."""
    purge_seconds: float | None = None
    """What they leave out after each change of air, where they note it."""


SHORT_TEST = Logger(
    Instrument.CONDENSATION,
    SizeSelection.ALL,
    Aerosol.SALT,
    Protocol.SHORT_FOUR_EXERCISE,
    1000,
    (3000, 9000),
    0.35,
    0.3,
    purge_seconds=4,
)
NARROW_BAND = Logger(
    Instrument.CONDENSATION, SizeSelection.NARROW, Aerosol.ROOM_AIR, Protocol.SHORT_FOUR_EXERCISE, 200, None, 0.2
)
LONG_TEST = Logger(
    Instrument.CONDENSATION,
    SizeSelection.ALL,
    Aerosol.ROOM_AIR,
    Protocol.EIGHT_EXERCISE,
    np.inf,
    (1500, 6000),
    0.2,
    0.6,
    purge_seconds=11,
)
OPTICAL_COUNTS = Logger(
    Instrument.OPTICAL, SizeSelection.ALL, Aerosol.SMOKE, Protocol.ONE_EXERCISE, np.inf, None, 0.12, counts=True
)
CHEAP_SENSOR = Logger(
    Instrument.SENSOR, SizeSelection.ALL, Aerosol.SMOKE, Protocol.ONE_EXERCISE, 500, (400, 1500), 0.13
)

LOGGERS = (SHORT_TEST, NARROW_BAND, LONG_TEST, OPTICAL_COUNTS, CHEAP_SENSOR)
