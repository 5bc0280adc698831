"""Scatter between specimens of a mask beside that between donnings of one, where testers name their specimens."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.special import stdtrit

from builder.fit.arrays import FloatArray
from builder.fit.compare.half_normal import HalfNormalGrid
from builder.fit.compare.nested_scatter import LEVEL, LEVEL_SD
from builder.fit.intervals import Interval
from builder.fit.levels import ALIKE_RATIO, SHOWN_LEVEL, tails

KEPT = ["wearer", "configuration", "method"]
"""Within these only donning and specimen differ."""
FEWEST_DF = 5
"""With fewer degrees of freedom no slope of wear is given. No published source."""
SPECIMEN_SCALE = 0.5
"""Of the half-normal prior on the ln SD between specimens, as of what a part does on masks and wearers. No published
source."""

_LOG_VARIANCES = LEVEL + LEVEL_SD * np.linspace(-5, 5, 121)
_SPECIMENS = HalfNormalGrid(SPECIMEN_SCALE, nodes=61)


@dataclass(frozen=True)
class NestedSquares:
    """A nested analysis of variance of `specimens` within arms: mean squares and their degrees of freedom.

    `size` is the effective number of donnings a specimen: what the variance between specimens counts in `between`.
    """

    specimens: int
    inside: float
    df_inside: int
    between: float
    df_between: int
    size: float


@dataclass(frozen=True)
class SpecimenScatter:
    """ln SDs of one more donning: on the same specimen, and on another one of the box, which includes the first.

    `more` is the interval of the second over the first; `wear` what every donning before multiplies the fit factor by,
    with its interval, NaN where no specimen was donned twice with that noted.
    """

    specimens: int
    same_sd: float
    other_sd: float
    more: Interval
    wear: float
    wear_interval: Interval

    @property
    def same_gsd(self) -> float:
        """The first as a geometric standard deviation."""
        return float(np.exp(self.same_sd))

    @property
    def other_gsd(self) -> float:
        """The second as one."""
        return float(np.exp(self.other_sd))

    @property
    def told_apart(self) -> bool:
        """Whether enough is known to tell another one of the box from the same one: `more` within `ALIKE_RATIO`."""
        return self.more.high <= ALIKE_RATIO * self.more.low


def specimen_scatter(table: pd.DataFrame) -> SpecimenScatter | None:
    """Estimate both from the tidy table's tests that count, are exact and name their specimen.

    None where no specimen was donned twice, or nowhere two were. Neither of two variances is taken from few tests
    alone: ln σ² of donnings has the prior of the database's scatter, the SD between specimens a half-normal one, and
    both are averaged over a grid, given the mean squares, which are scaled χ² (exactly so for equal numbers).
    """
    named = table[table["counted"] & ~table["at_least"] & (table["specimen_label"] != "")]
    y = np.log(named["fit_factor"].to_numpy(float))
    arm = named.groupby(KEPT, sort=False).ngroup().to_numpy()
    specimen = named.groupby([*KEPT, "specimen_label"], sort=False).ngroup().to_numpy(dtype=np.intp)
    squares = nested_squares(y, specimen, arm)
    if squares is None:
        return None
    weight, same, other = _posterior(squares)
    wear, wear_interval = _wear(named["specimen_donnings_before"].to_numpy(float), y, specimen)
    more = np.sqrt(other / same).ravel()
    order = np.argsort(more)
    below = np.cumsum(weight.ravel()[order])
    low, high = np.interp(tails(SHOWN_LEVEL), below, more[order])
    return SpecimenScatter(
        specimens=squares.specimens,
        same_sd=float(np.sqrt(np.exp((weight * np.log(same)).sum()))),
        other_sd=float(np.sqrt(np.exp((weight * np.log(other)).sum()))),
        more=Interval(float(low), float(high)),
        wear=wear,
        wear_interval=wear_interval,
    )


def nested_squares(
    y: FloatArray, specimen: NDArray[np.integer[Any]], arm: NDArray[np.integer[Any]]
) -> NestedSquares | None:
    """Take tests apart by specimen within arm (Searle, Casella & McCulloch, Variance Components, 1992, ch. 3).

    `specimen` and `arm` number them from 0. None without degrees of freedom on either side.
    """
    n_s, n_c = np.bincount(specimen), np.bincount(arm)
    df_in, df_out = len(y) - len(n_s), len(n_s) - len(n_c)
    if min(df_in, df_out) < 1:
        return None
    inside = y - (np.bincount(specimen, y) / n_s)[specimen]
    between = y - inside - (np.bincount(arm, y) / n_c)[arm]
    share = (n_s[specimen] / n_c[arm]).sum()  # Σ n_s² / n_c
    return NestedSquares(
        specimens=len(n_s),
        inside=float(inside @ inside / df_in),
        df_inside=df_in,
        between=float(between @ between / df_out),
        df_between=df_out,
        size=float((len(y) - share) / df_out),
    )


def _posterior(squares: NestedSquares) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Weights, sum 1, and the variances of one more donning on the same and on another specimen, over the grid."""
    same, between = np.exp(_LOG_VARIANCES)[:, None], _SPECIMENS.values[None, :] ** 2
    expected = same + squares.size * between
    log = -0.5 * ((_LOG_VARIANCES - LEVEL) / LEVEL_SD)[:, None] ** 2 + np.log(_SPECIMENS.weights)[None, :]
    for square, df, mean in (
        (squares.inside, squares.df_inside, same),
        (squares.between, squares.df_between, expected),
    ):
        log = log - 0.5 * df * (np.log(mean) + square / mean)
    weight = np.exp(log - log.max())
    return weight / weight.sum(), np.broadcast_to(same, weight.shape), same + between


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
    error = np.sqrt(((y - slope * x) ** 2).sum() / df / (x @ x)) * stdtrit(df, tails(SHOWN_LEVEL)[1])
    return float(np.exp(slope)), Interval(float(np.exp(slope - error)), float(np.exp(slope + error)))
