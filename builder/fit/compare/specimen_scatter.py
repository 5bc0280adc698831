"""Scatter between specimens of a mask beside that between donnings of one, where testers name their specimens."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.stats import f as f_distribution
from scipy.stats import t as t_distribution

from builder.fit.arrays import FloatArray
from builder.fit.intervals import Interval
from builder.fit.levels import SHOWN_LEVEL, tails

KEPT = ["wearer", "configuration", "method"]
"""Within these only donning and specimen differ."""
FEWEST_DF = 5
"""With fewer degrees of freedom on either side the parts are not told apart. No published source."""


@dataclass(frozen=True)
class SpecimenScatter:
    """Standard deviations of ln fit factor between donnings of one specimen and between specimens.

    `ratio` is the interval of the second over the first; `wear` what every donning before multiplies the fit factor by,
    with its interval, NaN where no specimen was donned twice with that noted.
    """

    specimens: int
    arms: int
    donning_sd: float
    specimen_sd: float
    ratio: Interval
    wear: float
    wear_interval: Interval

    @property
    def donning_gsd(self) -> float:
        """The first as a geometric standard deviation."""
        return float(np.exp(self.donning_sd))

    @property
    def specimen_gsd(self) -> float:
        """The second as one."""
        return float(np.exp(self.specimen_sd))


def specimen_scatter(table: pd.DataFrame) -> SpecimenScatter | None:
    """Estimate both from the tidy table's tests that count, are exact and name their specimen; None for too few.

    Nested analysis of variance within each wearer, configuration and method, by the method of moments. For equal
    numbers, and where specimens differ at all, that is restricted maximum likelihood (Searle, Casella & McCulloch,
    Variance Components, 1992, ch. 3 and 4). The interval is that of an F ratio with the effective number of donnings a
    specimen, exact where they are equal.
    """
    named = table[table["counted"] & ~table["at_least"] & (table["specimen_label"] != "")]
    y = np.log(named["fit_factor"].to_numpy(float))
    arm = named.groupby(KEPT, sort=False).ngroup().to_numpy()
    specimen = named.groupby([*KEPT, "specimen_label"], sort=False).ngroup().to_numpy(dtype=np.intp)
    if not len(y):
        return None
    n_s, n_c = np.bincount(specimen), np.bincount(arm)
    inside = y - (np.bincount(specimen, y) / n_s)[specimen]
    between = y - inside - (np.bincount(arm, y) / n_c)[arm]
    df_in, df_out = len(y) - len(n_s), len(n_s) - len(n_c)
    if min(df_in, df_out) < FEWEST_DF:
        return None
    mean_in, mean_out = inside @ inside / df_in, between @ between / df_out
    share = (n_s[specimen] / n_c[arm]).sum()  # Σ n_s² / n_c
    size = (len(y) - share) / df_out
    low, high = (
        np.sqrt(max(0.0, (mean_out / mean_in / f_distribution.ppf(tail, df_out, df_in) - 1) / size))
        for tail in reversed(tails(SHOWN_LEVEL))
    )
    wear, wear_interval = _wear(named["specimen_donnings_before"].to_numpy(float), y, specimen)
    return SpecimenScatter(
        specimens=len(n_s),
        arms=len(n_c),
        donning_sd=float(np.sqrt(mean_in)),
        specimen_sd=float(np.sqrt(max(0.0, (mean_out - mean_in) / size))),
        ratio=Interval(float(low), float(high)),
        wear=wear,
        wear_interval=wear_interval,
    )


def _wear(
    before: FloatArray,
    y: FloatArray,
    specimen: NDArray[np.integer[Any]],
) -> tuple[float, Interval]:
    """Fit one slope within all specimens."""
    known = ~np.isnan(before)
    _, place = np.unique(specimen[known], return_inverse=True)
    x, y = before[known], y[known]
    n = np.bincount(place)
    x, y = (values - (np.bincount(place, values) / n)[place] for values in (x, y))
    df = len(x) - len(n) - 1
    if df < FEWEST_DF or not x @ x:
        return np.nan, Interval(np.nan, np.nan)
    slope = x @ y / (x @ x)
    error = np.sqrt(((y - slope * x) ** 2).sum() / df / (x @ x)) * t_distribution.ppf(tails(SHOWN_LEVEL)[1], df)
    return float(np.exp(slope)), Interval(float(np.exp(slope - error)), float(np.exp(slope + error)))
