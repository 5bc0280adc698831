"""A few answers, exact and one-sided, taken into a joint normal by expectation propagation.

Exact readings need one step. One-sided ones become normal sites whose moments are right given all others (Minka, UAI
2001; Rasmussen & Williams, Gaussian Processes for Machine Learning, 2006, §3.6); with a share of wrong answers the
likelihood has a floor, as in H.-C. Kim & Z. Ghahramani, IEEE Trans. Pattern Anal. 2006;28:1948–1959.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr, ndtr

from builder.fit.arrays import FloatArray
from builder.fit.facemodel.own_results import Sites

SWEEPS = 40
SETTLED = 1e-6
# An answer that is probably wrong makes its true value less certain: its site's precision is below 0. All such sites
# together may take away this part of the prior's precision, so that a half of it always stays.
LEAST_PRECISION = -0.5


@dataclass(frozen=True)
class SettledSites:
    """Each site as a normal of natural parameters, and the log evidence of all answers."""

    precision: FloatArray
    weighted: FloatArray
    """Precision times location."""
    log_evidence: float


def settle(mean: FloatArray, covariance: FloatArray, sites: Sites, noise: float) -> SettledSites:
    """The sites on true values of this prior, `noise` the variance of one donning."""
    count = len(mean)
    mean = mean + sites.shift
    covariance = covariance + sites.shift_covariance
    precision = np.where(sites.side == 0, 1 / noise, 0.0)
    weighted = precision * sites.place
    least = LEAST_PRECISION / covariance.diagonal() / max(int(np.count_nonzero(sites.floor)), 1)
    one_sided = np.flatnonzero(sites.side).tolist()
    for _ in range(SWEEPS if len(one_sided) else 0):
        before = np.concatenate([precision, weighted])
        for site in one_sided:
            posterior, spread = _posterior(mean, covariance, precision, weighted)
            cavity, variance = _cavity(posterior[site], spread[site, site], precision[site], weighted[site])
            _, slope, curvature = _log_mass(cavity, variance, noise, sites, site)
            tilted_mean = cavity + variance * slope
            tilted_variance = variance + variance**2 * curvature
            precision[site] = max(1 / tilted_variance - 1 / variance, least[site])
            weighted[site] = tilted_mean * (precision[site] + 1 / variance) - cavity / variance
        if np.max(np.abs(np.concatenate([precision, weighted]) - before)) < SETTLED:
            break
    posterior, spread = _posterior(mean, covariance, precision, weighted)
    evidence = _log_integral(mean, covariance, precision, weighted)
    for site in range(count):
        cavity, variance = _cavity(posterior[site], spread[site, site], precision[site], weighted[site])
        evidence += _log_mass(cavity, variance, noise, sites, site)[0]
        evidence -= _log_integral(
            np.array([cavity]), np.array([[variance]]), precision[site : site + 1], weighted[site : site + 1]
        )
    return SettledSites(precision, weighted, evidence)


def gain(covariance: FloatArray, precision: FloatArray) -> FloatArray:
    """(covariance + 1/precision)⁻¹, which also holds where a precision is 0 or below."""
    found = np.linalg.solve(np.eye(len(precision)) + precision[:, None] * covariance, np.diag(precision))
    return np.asarray((found + found.T) / 2)


def _posterior(
    mean: FloatArray, covariance: FloatArray, precision: FloatArray, weighted: FloatArray
) -> tuple[FloatArray, FloatArray]:
    spread = covariance - covariance @ gain(covariance, precision) @ covariance
    return mean + spread @ (weighted - precision * mean), spread


def _cavity(mean: float, variance: float, precision: float, weighted: float) -> tuple[float, float]:
    """What all other answers say of one true value."""
    left = 1 / (1 / variance - precision)
    return left * (mean / variance - weighted), left


def _log_mass(mean: float, variance: float, noise: float, sites: Sites, site: int) -> tuple[float, float, float]:
    """The log of an answer's chance given the others, with its first two derivatives in their mean."""
    total = np.sqrt(variance + noise)
    away = (mean - sites.place[site]) / total
    side, floor, slope = sites.side[site], sites.floor[site], sites.slope[site]
    log_density = -0.5 * away**2 - 0.5 * np.log(2 * np.pi)
    if side == 0:
        return float(log_density - np.log(total)), float(-away / total), float(-1 / total**2)
    # Far on the wrong side Φ vanishes where it has no floor, but its slope over itself does not.
    log_mass = float(np.log(floor + slope * ndtr(side * away)) if floor else np.log(slope) + log_ndtr(side * away))
    steep = slope * np.exp(log_density - log_mass) / total
    return log_mass, float(side * steep), float(-steep * (steep + side * away / total))


def _log_integral(mean: FloatArray, covariance: FloatArray, precision: FloatArray, weighted: FloatArray) -> float:
    """Log of the integral of a normal times exp(weighted η − precision η²/2) for each true value."""
    matrix = np.eye(len(mean)) + precision[:, None] * covariance
    _, spread = _posterior(mean, covariance, precision, weighted)
    away = weighted - precision * mean
    at_mean = weighted * mean - 0.5 * precision * mean**2
    return float(-0.5 * np.linalg.slogdet(matrix)[1] + 0.5 * away @ spread @ away + at_mean.sum())
