"""Scatter between donnings: how far repeats of one wearer in one configuration differ.

Scatter is not the same for every wearer and mask, so neither one pooled variance nor each arm's own is right.
Arm variances are shrunk towards a common prior fitted by moments: G. K. Smyth, Stat. Appl. Genet. Mol. Biol.
2004;3:3, section 6.2.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike
from scipy.special import digamma, polygamma

from builder.fit.arrays import FloatArray
from builder.fit.levels import FEWEST_ARMS

ARM = ["configuration", "wearer", "facial_hair"]
"""What makes two tests repeats of each other; a beard is never a repeat of a shaved face."""

PLANNING_GSD = 2.0
PLANNING_DF = 4.0
"""Planning value for scatter: common practice, no published source."""

ROUNDING_VARIANCE = 4e-6
"""Stands for a variance of 0, whose logarithm there is not: readings equal to two figures differ by up to about 1 %,
and the geometric mean variance of such pairs is this."""


@dataclass(frozen=True)
class Scatter:
    """Re-donning scatter of a database, on ln FF.

    `prior_variance` (ln²) with `prior_df` degrees of freedom (may be infinite) is what an arm without repeats
    is given; `arms` with repeats and their `total_df` degrees of freedom stand behind it. `planned` is true where
    they were too few and the planning value stands in.
    """

    prior_variance: float
    prior_df: float
    arms: int
    total_df: int
    planned: bool

    @property
    def gsd(self) -> float:
        """Geometric standard deviation between donnings, from the prior."""
        return float(np.exp(np.sqrt(self.prior_variance)))

    def moderated(self, variance: ArrayLike, df: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Variances (ln²) shrunk towards the prior, and their degrees of freedom, in the shape given.

        A variance with no degrees of freedom may be NaN. The degrees of freedom never exceed what all repeats
        of the database give, except where the planning value stands in for them.
        """
        df = np.asarray(df, dtype=np.float64)
        own = np.where(df > 0, np.asarray(variance, dtype=np.float64), 0.0)
        most = np.inf if self.planned else self.total_df + df
        if np.isinf(self.prior_df):
            return np.full(df.shape, self.prior_variance), np.broadcast_to(most, df.shape).copy()
        total = self.prior_df + df
        return (self.prior_df * self.prior_variance + df * own) / total, np.minimum(total, most)


def estimate_scatter(table: pd.DataFrame) -> Scatter:
    """Scatter from the repeats in a tidy table; tests set aside and "at least" readings are left out."""
    repeats = arm_variances(table)
    arms, total_df = len(repeats), int(repeats["df"].sum())
    if arms < FEWEST_ARMS:
        return Scatter(float(np.log(PLANNING_GSD) ** 2), PLANNING_DF, arms, total_df, planned=True)
    prior_variance, prior_df = fit_prior(repeats["variance"].to_numpy(), repeats["df"].to_numpy())
    return Scatter(prior_variance, prior_df, arms, total_df, planned=False)


def arm_variances(table: pd.DataFrame) -> pd.DataFrame:
    """`variance` (ln²) and `df` of every arm with two or more exact tests that count, indexed by `ARM`."""
    exact = table[table["counted"] & ~table["at_least"]]
    arms = exact.assign(y=np.log(exact["fit_factor"])).groupby(ARM)["y"].agg(["var", "count"])
    repeats = arms[arms["count"] >= 2]
    return pd.DataFrame({"variance": repeats["var"], "df": repeats["count"] - 1})


def fit_prior(variances: ArrayLike, df: ArrayLike) -> tuple[float, float]:
    """Prior variance and prior degrees of freedom of two or more sample variances, by the moments of their logs.

    The degrees of freedom are infinite where the variances differ no more than chance would have it.
    """
    half_df = np.asarray(df, dtype=np.float64) / 2
    variances = np.asarray(variances, dtype=np.float64)
    equal_readings = variances < 1e-12  # but for floating point
    log_variance = np.log(np.where(equal_readings, ROUNDING_VARIANCE, variances)) - digamma(half_df) + np.log(half_df)
    centre = float(log_variance.mean())
    excess = float(np.var(log_variance, ddof=1) - polygamma(1, half_df).mean())
    if excess <= 0:
        return float(np.exp(centre)), float("inf")
    half_prior = inverse_trigamma(excess)
    return float(np.exp(centre + digamma(half_prior) - np.log(half_prior))), 2 * half_prior


def inverse_trigamma(value: float) -> float:
    """The y > 0 with ψ′(y) = value, by Newton's method on 1/ψ′ (Smyth 2004, appendix)."""
    if value > 1e7:
        return float(value**-0.5)  # ψ′(y) → 1/y² for small y
    if value < 1e-6:
        return 1 / value  # ψ′(y) → 1/y for large y
    y = 0.5 + 1 / value
    while True:
        trigamma = float(polygamma(1, y))
        step = trigamma * (1 - trigamma / value) / float(polygamma(2, y))
        y += step
        if -step / y < 1e-8:
            return y
