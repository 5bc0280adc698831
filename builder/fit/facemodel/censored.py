"""Readings that are only known to be "at least" their value, by expectation propagation.

Each stands as a normal site, whose location and precision make the posterior's first two moments right given all
other readings (Minka, UAI 2001; Rasmussen & Williams, Gaussian Processes for Machine Learning, 2006, §3.6). The
likelihood is Φ((η − limit)/τ), where τ² holds the re-donning and counting variance.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.facemodel.design import Design
from builder.fit.facemodel.engine import Posterior, Readings, exact_readings, solve
from builder.fit.facemodel.evidence import Variances, variances
from builder.fit.facemodel.scales import Scales

_SWEEPS = 20
_DAMPING = 0.9
_LEAST_DAMPING = 0.2
_FREE_SWEEPS = 3
_PRECISION_FLOOR = 2e-5
# Relative change of the sites' precision. The evidence is flat there, so that a rough end does it no harm.
_SETTLED = 5e-3


@dataclass(frozen=True)
class Moments:
    """Mean and variance of a normal cut off softly at a limit, and the log of its mass."""

    mean: FloatArray
    variance: FloatArray
    log_mass: FloatArray


@dataclass(frozen=True)
class Cavity:
    """What all other readings say about the true value behind each "at least" reading."""

    mean: FloatArray
    variance: FloatArray


@dataclass(frozen=True)
class Propagated:
    """The posterior with settled sites, its variances, and what the other readings say behind each site."""

    posterior: Posterior
    spread: Variances
    cavity: Cavity
    log_evidence: float


def tilted(mean: FloatArray, variance: FloatArray, limit: FloatArray, noise: FloatArray) -> Moments:
    """Moments of N(mean, variance) times Φ((η − limit)/√noise) (Rasmussen & Williams, eq. 3.58 and 3.82–3.85)."""
    total = np.sqrt(variance + noise)
    t = (mean - limit) / total
    slope = log_mass_slope(t)
    tilted_variance = np.maximum(variance - variance**2 * slope * (slope + t) / total**2, 1e-9)
    return Moments(mean + variance * slope / total, tilted_variance, log_ndtr(t))


def log_mass_slope(t: FloatArray) -> FloatArray:
    """The derivative of ln Φ(t), safe far below 0 where Φ itself vanishes."""
    return np.asarray(np.exp(-0.5 * t**2 - 0.5 * np.log(2 * np.pi) - log_ndtr(t)))


def propagate(design: Design, scales: Scales, start: Readings | None = None) -> Propagated:
    """Settle the sites of all "at least" readings; `start` gives sites from a nearby fit.

    Six to fifteen sweeps settle them, even where three in four readings are censored; after twenty the last stands.
    """
    readings = exact_readings(design, scales)
    which = np.flatnonzero(design.at_least)
    limit = design.reading[which]
    noise = scales.redonning**2 + design.counting_variance[which]
    if start is None:
        precision, location = 0.5 / noise, limit + 0.8 * np.sqrt(noise)
    else:
        precision, location = start.precision[which], start.location[which]
    readings = _with_sites(readings, which, precision, location)
    posterior, spread = _settle(design, scales, readings, limit, noise)
    readings = posterior.readings
    precision, location = readings.precision[which], readings.location[which]
    cavity = _cavity(posterior, spread.arm_sum, which)
    log_mass = tilted(cavity.mean, cavity.variance, limit, noise).log_mass
    # What the sites stand for, less what they already put into the evidence of the normal readings.
    total = cavity.variance + 1 / precision
    site_mass = -0.5 * ((location - cavity.mean) ** 2 / total + np.log(2 * np.pi * total))
    log_evidence = posterior.log_evidence + float((log_mass - site_mass).sum())
    return Propagated(posterior, spread, cavity, log_evidence)


def _settle(
    design: Design, scales: Scales, readings: Readings, limit: FloatArray, noise: FloatArray
) -> tuple[Posterior, Variances]:
    which = np.flatnonzero(design.at_least)
    damping, before = _DAMPING, np.inf
    for sweep in range(_SWEEPS + 1):
        posterior = solve(design, scales, readings)
        spread = variances(posterior)
        if not which.size or sweep == _SWEEPS:
            break
        cavity = _cavity(posterior, spread.arm_sum, which)
        moments = tilted(cavity.mean, cavity.variance, limit, noise)
        precision = readings.precision[which]
        weighted = precision * readings.location[which]
        aim = np.maximum(1 / moments.variance - 1 / cavity.variance, _PRECISION_FLOOR)
        aim_weighted = moments.mean * (aim + 1 / cavity.variance) - cavity.mean / cavity.variance
        change = float(np.max(np.abs(aim - precision) / (aim + 0.1 / noise)))
        if change < _SETTLED:
            break
        # Sites of one arm are moved together and may overshoot; the first few sweeps tell nothing yet.
        if sweep >= _FREE_SWEEPS and change > before:
            damping = max(damping / 2, _LEAST_DAMPING)
        before = change
        fresh = precision + damping * (aim - precision)
        readings = _with_sites(readings, which, fresh, (weighted + damping * (aim_weighted - weighted)) / fresh)
    return posterior, spread


def _cavity(posterior: Posterior, sum_variance: FloatArray, which: IntArray) -> Cavity:
    """What the posterior says of the true values behind these readings, without the readings themselves."""
    arm, readings = posterior.design.arm[which], posterior.readings
    return leave_out(
        posterior.arm_mean[arm] + posterior.design.centre,
        posterior.arm_variance(sum_variance)[arm],
        readings.location[which],
        readings.precision[which],
    )


def leave_out(mean: FloatArray, variance: FloatArray, location: FloatArray, precision: FloatArray) -> Cavity:
    """Take one normal reading of known location and precision out of a posterior mean and variance."""
    left = 1 / np.maximum(1 / variance - precision, _PRECISION_FLOOR)
    return Cavity(left * (mean / variance - precision * location), left)


def _with_sites(readings: Readings, which: IntArray, precision: FloatArray, location: FloatArray) -> Readings:
    locations, precisions = readings.location.copy(), readings.precision.copy()
    locations[which], precisions[which] = location, precision
    return Readings(locations, precisions)
