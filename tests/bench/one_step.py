"""Scatter known in one step, the arms of the database: what the two steps of the site are measured against.

G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 2004;3:3, section 6.2.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import digamma, polygamma

from builder.fit.arrays import FloatArray
from builder.fit.compare.nested_scatter import inverse_trigamma
from builder.fit.levels import FEWEST_ARMS

PLANNING_GSD, PLANNING_DF = 2.0, 4.0


@dataclass(frozen=True)
class OneStep:
    """The variance (ln²) that an arm without repeats is given, with its degrees of freedom, and what stands behind."""

    variance: float
    df: float
    most_df: float

    @classmethod
    def of(cls, variances: FloatArray, df: FloatArray) -> "OneStep":
        """Scatter from the variances of arms with repeats."""
        if len(variances) < FEWEST_ARMS:
            return cls(math.log(PLANNING_GSD) ** 2, PLANNING_DF, math.inf)
        return cls(*fit_prior(variances, df), float(df.sum()))

    def moderated(self, own: FloatArray, own_df: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Variances shrunk towards the prior, and their degrees of freedom, no more than all repeats give."""
        kept = 1 / (1 + own_df / self.df)
        return kept * self.variance + (1 - kept) * own, np.minimum(self.df + own_df, self.most_df + own_df)


def fit_prior(variances: ArrayLike, df: ArrayLike) -> tuple[float, float]:
    """Prior variance and prior degrees of freedom of two or more sample variances, by the moments of their logs.

    The degrees of freedom are infinite where the variances differ no more than chance would have it.
    """
    half_df = np.asarray(df, dtype=np.float64) / 2
    variances = np.asarray(variances, dtype=np.float64)
    log_variance = np.log(variances) - digamma(half_df) + np.log(half_df)
    centre = float(log_variance.mean())
    excess = float(np.var(log_variance, ddof=1) - polygamma(1, half_df).mean())
    if excess <= 0:
        return float(np.exp(centre)), float("inf")
    half_prior = inverse_trigamma(excess)
    return float(np.exp(centre + digamma(half_prior) - np.log(half_prior))), 2 * half_prior
