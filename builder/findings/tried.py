"""Who tried what, and on whom it reached the level: the wearers of the database, one by one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from builder.fit.facemodel.design import faces_of
from builder.fit.facemodel.kernel import place_mm
from builder.fit.levels import PASS_LEVEL
from builder.fit.summary.censoring import grouped_medians


@dataclass(frozen=True)
class Trier:
    """A wearer with tests that count."""

    wearer: str
    place: tuple[float, float]
    """Face length and width, mm: as measured, the middle of the cell, or NaN where neither is known."""
    nose_bridge: str
    """"low", "medium", "high" or "unknown"."""
    tried: dict[str, bool | None]
    """By configuration whether the wearer's own median reaches the level; None for "at least" something lower."""
    readings: dict[str, list[tuple[float, bool]]]
    """By configuration every fit factor, and whether it is "at least" that."""


def triers(counted: pd.DataFrame) -> tuple[Trier, ...]:
    """Give every wearer of the tests that count, in the order of their names."""
    pairs = counted[["wearer", "configuration"]].drop_duplicates().sort_values(["wearer", "configuration"])
    medians = grouped_medians(
        counted["fit_factor"].to_numpy(dtype=float),
        counted["at_least"].to_numpy(dtype=bool),
        counted.groupby(["wearer", "configuration"], sort=True).ngroup().to_numpy(dtype=np.intp),
        len(pairs),
    )
    passes = medians.value >= PASS_LEVEL
    known = passes | ~medians.at_least
    tried: dict[str, dict[str, bool | None]] = {}
    for wearer, configuration, reaches, is_known in zip(
        pairs["wearer"], pairs["configuration"], passes.tolist(), known.tolist(), strict=True
    ):
        tried.setdefault(str(wearer), {})[str(configuration)] = reaches if is_known else None
    readings: dict[str, dict[str, list[tuple[float, bool]]]] = {}
    columns = [counted[name].tolist() for name in ("wearer", "configuration", "fit_factor", "at_least")]
    for wearer, configuration, fit_factor, at_least in sorted(zip(*columns, strict=True)):
        readings.setdefault(wearer, {}).setdefault(configuration, []).append((fit_factor, at_least))
    faces = faces_of(counted)
    return tuple(
        Trier(wearer, place_mm(faces[wearer]), faces[wearer].nose_bridge, own, readings[wearer])
        for wearer, own in tried.items()
    )
