"""Readings of "at least" in the network, by expectation propagation, as the face model has them (`facemodel/censored`).

Each stands as a normal site that makes the first two moments of its arm's true mean right, given all other readings.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.network_faces import FaceReadings
from builder.fit.compare.network_solution import Observed, Solution, left, solution
from builder.fit.facemodel.censored import leave_out, tilted

_SWEEPS = 20
_DAMPING = 0.9
_FLOOR = 2e-5
_SETTLED = 5e-3


@dataclass
class _Sites:
    """The sites of one face, a limit each: the row it is of, its value, and the site's precision and location."""

    row: IntArray
    limit: FloatArray
    precision: FloatArray
    location: FloatArray

    @classmethod
    def of(cls, face: FaceReadings) -> "_Sites":
        row = np.array([place for place, own in enumerate(face.limits) for _ in own], dtype=np.int64)
        limit = np.array([limit for own in face.limits for limit in own], dtype=np.float64)
        noise = face.donning[row]
        return cls(row, limit, 0.5 / noise, limit + 0.8 * np.sqrt(noise))


def exact_alone(faces: Sequence[FaceReadings]) -> list[Observed]:
    """The exact readings of each face; faces with fewer than two rows of them tell nothing."""
    observed = [_observed(face, None) for face in faces]
    return [one for one in observed if len(one.rows) > 1]


def with_sites(faces: Sequence[FaceReadings], configurations: int, tau: float, mean_sd: float) -> list[Observed]:
    """All readings, the "at least" ones as the sites that settle at this spread."""
    sites = [_Sites.of(face) for face in faces]
    observed = [_observed(face, own) for face, own in zip(faces, sites, strict=True)]
    limited = [place for place, face in enumerate(faces) if face.limited]
    for _ in range(_SWEEPS if limited else 0):
        found = solution(observed, configurations, tau, mean_sd)
        change = max(_move(observed[place], sites[place], found, configurations, tau) for place in limited)
        for place in limited:
            observed[place] = _observed(faces[place], sites[place])
        if change < _SETTLED:
            break
    return observed


def _observed(face: FaceReadings, sites: _Sites | None) -> Observed:
    precision = face.exact / face.donning
    weighted = precision * face.mean
    if sites is not None and len(sites.row):
        precision, weighted = precision.copy(), weighted.copy()
        np.add.at(precision, sites.row, sites.precision)
        np.add.at(weighted, sites.row, sites.precision * sites.location)
    rows = np.flatnonzero(precision > 0)
    return Observed(face, rows, weighted[rows] / precision[rows], precision[rows])


def _move(one: Observed, sites: _Sites, found: Solution, configurations: int, tau: float) -> float:
    """Move the sites of a face to what all other readings say of its arms; by how much, relatively."""
    mean, variance = _arms(one, found, configurations, tau)
    row = np.searchsorted(one.rows, sites.row)
    noise = one.face.donning[sites.row]
    cavity = leave_out(mean[row], variance[row], sites.location, sites.precision)
    moments = tilted(cavity.mean, cavity.variance, sites.limit, noise)
    aim = np.maximum(1 / moments.variance - 1 / cavity.variance, _FLOOR)
    aim_weighted = moments.mean * (aim + 1 / cavity.variance) - cavity.mean / cavity.variance
    change = float(np.max(np.abs(aim - sites.precision) / (aim + 0.1 / noise)))
    weighted = sites.precision * sites.location
    fresh = sites.precision + _DAMPING * (aim - sites.precision)
    sites.location = (weighted + _DAMPING * (aim_weighted - weighted)) / fresh
    sites.precision = fresh
    return change


def _arms(one: Observed, found: Solution, configurations: int, tau: float) -> tuple[FloatArray, FloatArray]:
    """Posterior mean and variance of the true mean of each row of a face."""
    face, rows = one.face, one.rows
    shared = face.shared(tau)[np.ix_(rows, rows)]
    inverse, _, total = left(shared + np.diag(1 / one.precision))
    columns = np.r_[face.places[rows], configurations + np.arange(face.loadings.shape[1])]
    design = np.hstack([np.eye(len(rows)), face.loadings[rows]])
    fitted = design @ found.estimate[columns]
    level_of = inverse.sum(axis=1) / total
    fitted = fitted + level_of @ (one.location - fitted)
    free = design - np.outer(np.ones(len(rows)), level_of @ design)
    spread = 1 / total + free @ found.covariance[np.ix_(columns, columns)] @ free.T
    gain = shared @ inverse
    kept = np.eye(len(rows)) - gain
    mean = fitted + gain @ (one.location - fitted)
    covariance = shared - gain @ shared + kept @ spread @ kept.T
    return mean, np.diag(covariance).copy()
