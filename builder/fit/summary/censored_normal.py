"""Mean and standard deviation of normal values some of which are only known to be at least their limit.

Maximum likelihood: an exact value y has the density φ((y − μ)/σ)/σ, one of at least c the chance Φ((μ − c)/σ). In
α = μ/σ and β = 1/σ the log likelihood is concave (J. Burridge, J. R. Stat. Soc. B 1981;43:41–45; from memory), so that
Newton's steps find the one maximum. It exists where two exact values differ.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import log_ndtr

from builder.fit.arrays import BoolArray, FloatArray, IntArray

_MOST_STEPS = 100
_SETTLED = 1e-10
_EQUAL = 1e-9
"""Values no further apart than this are the same but for floating point."""


@dataclass(frozen=True)
class CensoredNormal:
    """Mean `mu` and standard deviation `sigma` of each group; NaN where there is no maximum."""

    mu: FloatArray
    sigma: FloatArray


def censored_normal(values: ArrayLike, at_least: ArrayLike) -> tuple[float, float]:
    """Mean and standard deviation of one group; NaN unless two exact values differ."""
    y = np.asarray(values, dtype=np.float64)
    found = grouped_censored_normal(y, np.asarray(at_least, dtype=bool), np.zeros(len(y), dtype=np.intp), 1)
    return float(found.mu[0]), float(found.sigma[0])


def grouped_censored_normal(values: FloatArray, at_least: BoolArray, groups: IntArray, n: int) -> CensoredNormal:
    """The same for `n` groups at once: values, their "at least" flags and the number of each one's group."""
    exact = ~at_least
    low, high = np.full(n, np.inf), np.full(n, -np.inf)
    np.minimum.at(low, groups[exact], values[exact])
    np.maximum.at(high, groups[exact], values[exact])
    known = high - low > _EQUAL
    members = known[groups]
    places = np.cumsum(known) - 1
    mu, sigma = np.full(n, np.nan), np.full(n, np.nan)
    if members.any():
        mu[known], sigma[known] = _climb(values[members], at_least[members], places[groups[members]], int(known.sum()))
    return CensoredNormal(mu, sigma)


def _climb(values: FloatArray, at_least: BoolArray, groups: IntArray, n: int) -> tuple[FloatArray, FloatArray]:
    """Newton's steps for groups that have a maximum, from the exact values' own mean and spread."""
    total, counts = np.bincount(groups, values, n), np.bincount(groups, minlength=n)
    centre = total / counts
    scale = np.sqrt(np.bincount(groups, (values - centre[groups]) ** 2, n) / counts)
    # Limits at their values make the spread small but not 0, since two exact values differ.
    y = (values - centre[groups]) / scale[groups]
    exact = np.bincount(groups, ~at_least, n)
    alpha, beta = np.zeros(n), np.ones(n)
    for _ in range(_MOST_STEPS):
        t = np.where(at_least, alpha[groups] - beta[groups] * y, beta[groups] * y - alpha[groups])
        slope = np.where(at_least, np.exp(-0.5 * t**2 - 0.5 * np.log(2 * np.pi) - log_ndtr(t)), t)
        bend = np.where(at_least, slope * (slope + t), 1.0)
        first_alpha = np.bincount(groups, slope, n)
        first_beta = exact / beta - np.bincount(groups, slope * y, n)
        aa = np.bincount(groups, bend, n)
        ab = -np.bincount(groups, bend * y, n)
        bb = exact / beta**2 + np.bincount(groups, bend * y**2, n)
        determinant = aa * bb - ab**2
        step_alpha = (bb * first_alpha - ab * first_beta) / determinant
        step_beta = (aa * first_beta - ab * first_alpha) / determinant
        # Never past half of β: it stays above 0.
        part = np.minimum(1.0, 0.5 * beta / np.maximum(-step_beta, 1e-300))
        alpha, beta = alpha + part * step_alpha, beta + part * step_beta
        if max(np.abs(step_alpha).max(), np.abs(step_beta / beta).max()) < _SETTLED:
            break
    return centre + scale * alpha / beta, scale / beta
