"""The people who sit down at the invented bench: faces drawn by the panel's shares, and how they don masks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from builder.demo.invented_names import PEOPLE
from builder.fit.panel import CELLS, cell_of, population_shares
from builder.records.models import Face
from builder.records.vocabulary import FacialHair, NoseBridge

OUTSIDE_PANEL = ((104, 149), (142, 157), (134, 129), (95, 119))
"""Faces that no cell holds: short and wide, very long, long and narrow, very small (length, width, mm)."""

BRIDGE_SHARES = (0.3, 0.45, 0.25)


@dataclass(frozen=True)
class DemoWearers:
    """Wearers as columns, one row each: what the files tell of them, and what only the simulation knows."""

    ids: list[str]
    length_mm: NDArray[np.float64]
    width_mm: NDArray[np.float64]
    bridge: NDArray[np.int64]
    """Place in low, medium, high."""
    gives_mm: NDArray[np.bool_]
    gives_bridge: NDArray[np.bool_]
    scatter: NDArray[np.float64]
    """Standard deviation of ln FF between donnings."""
    activity: NDArray[np.float64]
    """How readily they try masks."""
    glasses: NDArray[np.bool_]
    sometimes_unshaved: NDArray[np.bool_]

    def face(self, wearer: int, hair: FacialHair) -> Face:
        """Write a wearer's face as they publish it."""
        length, width = float(self.length_mm[wearer]), float(self.width_mm[wearer])
        mm = bool(self.gives_mm[wearer])
        return Face(
            wearer=self.ids[wearer],
            length_mm=length if mm else None,
            width_mm=width if mm else None,
            cell=None if mm else int(cell_of(length, width)),
            nose_bridge=tuple(NoseBridge)[self.bridge[wearer]] if self.gives_bridge[wearer] else None,
            facial_hair=hair,
        )


def draw_wearers(count: int, rng: np.random.Generator) -> DemoWearers:
    """Draw wearers: cells by the panel's shares, even within a cell, and of every sixteen one outside the panel.

    Of every sixteen, too, two publish their cell alone and one has no nose bridge noted.
    """
    place = np.arange(count)
    # One draw from each of `count` equal slices of the population, so that even a dozen wearers cover the panel.
    quantile = (rng.permutation(count) + rng.uniform(size=count)) / count
    cell = np.searchsorted(np.cumsum(list(population_shares().values()))[:-1], quantile)
    limits = np.array([(c.length_low, c.length_high, c.width_low, c.width_high) for c in CELLS])[cell]
    length = np.round(rng.uniform(limits[:, 0] + 0.5, limits[:, 1] - 0.5))
    width = np.round(rng.uniform(limits[:, 2] + 0.5, limits[:, 3] - 0.5))
    outside = place % 16 == 11
    length[outside], width[outside] = np.array(OUTSIDE_PANEL)[place[outside] // 16 % len(OUTSIDE_PANEL)].T
    bridge = np.searchsorted(np.cumsum(BRIDGE_SHARES)[:-1], (rng.permutation(count) + 0.5) / count)
    return DemoWearers(
        ids=PEOPLE.words(count, rng),
        length_mm=length,
        width_mm=width,
        bridge=bridge,
        gives_mm=~np.isin(place % 16, (5, 14)),
        gives_bridge=place % 16 != 8,
        # Half of all wearers between a GSD of 1.45 and 1.8, nearly all between 1.3 and 2.2.
        scatter=np.clip(0.47 * np.exp(rng.normal(0, 0.28, count)), np.log(1.3), np.log(2.2)),
        activity=rng.normal(0, 0.7, count),
        glasses=rng.uniform(size=count) < 0.4,
        sometimes_unshaved=place % 8 == 3,
    )
