"""What loggers of the invented bench note of the mask worn and of how things stood, beside the result."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from builder.demo.loggers import LOGGERS
from builder.fit.arrays import BoolArray, FloatArray
from builder.records.circumstances import Conditions, Specimen
from builder.records.vocabulary import Check, Probe

NOTES_SPECIMEN, NOTES_CHECKS, NOTES_AIR, NOTES_ORDER = 0.45, 0.5, 0.25, 0.4
"""Shares of sessions in which each is written down."""

DONNING_HOURS = 0.2
HELPED, NO_SEAL_CHECK = 0.1, 0.1
"""Share of sessions with a helper, and of donnings without a seal check."""


@dataclass(frozen=True)
class NotedDonnings:
    """The donnings to be noted, as columns."""

    session: NDArray[np.int64]
    log: NDArray[np.int64]
    nth: NDArray[np.int64]
    """Place in the session, from 0."""
    specimen: NDArray[np.int64]
    """Which mask of the session's, from 0."""
    worn: NDArray[np.int64]
    """How often that one was donned before."""
    parts: Sequence[tuple[str, ...]]
    wears_glasses: BoolArray
    width_mm: FloatArray
    ln_fit_factor: FloatArray


def note(donnings: NotedDonnings, rng: np.random.Generator) -> list[tuple[Specimen, Conditions]]:
    """Draw what is noted of each donning."""
    session, count = donnings.session, len(donnings.session)
    sessions = int(session.max()) + 1
    specimens, checks, air, order = (rng.uniform(size=(4, sessions)).T < _SHARES)[session].T
    helped = (rng.uniform(size=sessions) < HELPED)[session]
    level = rng.uniform(size=sessions)[session]
    celsius = np.round(2 * rng.uniform(17, 26, sessions))[session] / 2
    humidity = np.round(rng.uniform(25, 65, sessions))[session]
    lot = rng.integers(100, 400, sessions)[session]
    # Who leaks a lot feels it, now and then.
    failed = rng.uniform(size=count) < 0.5 / (1 + np.exp(2 * (donnings.ln_fit_factor - np.log(12))))
    unchecked = rng.uniform(size=count) < NO_SEAL_CHECK
    shorter = 5.0 * np.round((150 - donnings.width_mm + rng.uniform(0, 20, sessions)[session]) / 5)
    return [
        (
            Specimen(
                label=f"m{donnings.specimen[i] + 1}",
                lot=f"L{lot[i]}",
                donnings_before=int(donnings.worn[i]),
                hours_before=round(DONNING_HOURS * int(donnings.worn[i]), 1),
                straps_mm=max(0.0, float(shorter[i])) if "crossed-band" in donnings.parts[i] else None,
                straps_notch=_notch(float(donnings.width_mm[i])) if "loop-clip" in donnings.parts[i] else None,
            )
            if specimens[i]
            else Specimen(),
            _conditions(
                donnings,
                i,
                level=float(level[i]),
                seal=Check.NOT_DONE if unchecked[i] else Check.FAILED if failed[i] else Check.PASSED,
                checks=bool(checks[i]),
                helped=bool(helped[i]),
                order=bool(order[i]),
                air=(float(celsius[i]), float(humidity[i])) if air[i] else (None, None),
            ),
        )
        for i in range(count)
    ]


_SHARES = (NOTES_SPECIMEN, NOTES_CHECKS, NOTES_AIR, NOTES_ORDER)


def _conditions(
    donnings: NotedDonnings,
    i: int,
    *,
    level: float,
    seal: Check,
    checks: bool,
    helped: bool,
    order: bool,
    air: tuple[float | None, float | None],
) -> Conditions:
    logger = LOGGERS[donnings.log[i]]
    low, high = logger.ambient or (0.0, 0.0)
    return Conditions(
        instrument=logger.instrument,
        size_selection=logger.sizes,
        ambient_per_cm3=float(round(low + level * (high - low), -2)) if logger.ambient else None,
        aerosol=logger.aerosol,
        probe=Probe.FLUSH,
        purge_seconds=logger.purge_seconds if checks else None,
        zero_check=Check.PASSED if checks else None,
        probe_check=Check.PASSED if checks else None,
        seal_check=seal if checks else None,
        helped=helped if checks else None,
        glasses=bool(donnings.wears_glasses[i]) if checks else None,
        order=int(donnings.nth[i]) + 1 if order else None,
        temperature_c=air[0],
        humidity_percent=air[1],
    )


def _notch(width_mm: float) -> int:
    return 3 if width_mm < 134 else 2 if width_mm < 144 else 1
