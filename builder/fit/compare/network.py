"""All configurations in one network of the faces that tried several: any of them can be the measure of all others.

The spread τ between faces has the prior of `pooling`, and is integrated out over a grid around where it is likely.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from builder.fit.arrays import BoolArray, FloatArray
from builder.fit.compare.chains import Links
from builder.fit.compare.measured_arms import MeasuredArms
from builder.fit.compare.network_faces import FaceReadings, faces_of
from builder.fit.compare.network_limits import exact_alone, with_sites
from builder.fit.compare.network_solution import Observed, log_evidence, solution
from builder.fit.compare.pooling import GRID_END, MEAN_SD, TAU_SCALE

_POINTS = 9
_ROUNDS = 4
_FARTHEST = 12.0
"""Log posterior below the highest where a spread no longer counts."""
_LEAST_WEIGHT = 1e-3


@dataclass(frozen=True)
class Network:
    """θ of each configuration on ln FF, of which only differences mean something, with their covariance.

    `tau` is the spread between faces. `location` and `variance` (faces × configurations) are what each face read, NaN
    where it did not try one: what compares two directly. `links` says who hangs together with whom.
    """

    configurations: tuple[str, ...]
    estimate: FloatArray
    covariance: FloatArray
    tau: float
    location: FloatArray
    variance: FloatArray
    links: Links


def network(measured: MeasuredArms) -> Network:
    """Join all configurations; those that no face tried beside another one have no link."""
    names = tuple(measured.by_configuration)
    places = {name: place for place, name in enumerate(names)}
    faces = faces_of(measured, places)
    taus, weights = _spread(exact_alone(faces), len(names))
    tau = float(weights @ taus)
    observed = with_sites(faces, len(names), tau, MEAN_SD)
    mean, covariance = _mixed(observed, len(names), taus, weights)
    location, variance = _by_face(observed, len(names))
    return Network(names, mean, covariance, tau, location, variance, _links(faces, len(names)))


def _spread(observed: Sequence[Observed], configurations: int) -> tuple[FloatArray, FloatArray]:
    """A grid of τ that holds all that is likely, and the weight of each point by the trapezoid rule."""
    low, high = 0.0, GRID_END * TAU_SCALE
    for _ in range(_ROUNDS):
        taus = np.linspace(low, high, _POINTS)
        log = np.array([log_evidence(observed, configurations, float(tau), MEAN_SD) for tau in taus])
        log -= 0.5 * (taus / TAU_SCALE) ** 2
        log -= log.max()
        likely = np.flatnonzero(log > -_FARTHEST)
        first, last = max(0, likely[0] - 1), min(_POINTS - 1, likely[-1] + 1)
        if last - first > _POINTS // 2:
            break
        low, high = float(taus[first]), float(taus[last])
    weights = np.exp(log)
    weights[[0, -1]] /= 2
    kept = weights > _LEAST_WEIGHT * weights.max()
    return taus[kept], weights[kept] / weights[kept].sum()


def _mixed(
    observed: Sequence[Observed], configurations: int, taus: FloatArray, weights: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Mean and covariance of θ over the grid."""
    mean, second = np.zeros(configurations), np.zeros((configurations, configurations))
    for tau, weight in zip(taus.tolist(), weights.tolist(), strict=True):
        found = solution(observed, configurations, tau, MEAN_SD)
        estimate = found.estimate[:configurations]
        mean += weight * estimate
        second += weight * (found.covariance[:configurations, :configurations] + np.outer(estimate, estimate))
    return mean, second - np.outer(mean, mean)


def _by_face(observed: Sequence[Observed], configurations: int) -> tuple[FloatArray, FloatArray]:
    """What each face read of each configuration over all methods, and its variance."""
    precision = np.zeros((len(observed), configurations))
    weighted = np.zeros_like(precision)
    for number, one in enumerate(observed):
        places = one.face.places[one.rows]
        np.add.at(precision[number], places, one.precision)
        np.add.at(weighted[number], places, one.precision * one.location)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(precision > 0, weighted / precision, np.nan), np.where(precision > 0, 1 / precision, np.nan)


def _links(faces: Sequence[FaceReadings], configurations: int) -> Links:
    tried: BoolArray = np.zeros((len(faces), configurations), dtype=bool)
    exact: BoolArray = np.zeros_like(tried)
    for number, face in enumerate(faces):
        tried[number, face.places] = True
        exact[number, face.places[face.exact > 0]] = True
    return Links.of(tried, exact, [face.face.wearer for face in faces])
