"""The least-squares network of all faces at one spread between them, and how well that spread fits.

As in `pooling`, each difference of two configurations has the prior N(0, s²), which θ_c ~ N(0, s²/2) gives. The level
of each face is integrated out: with D the covariance of its readings, K = D⁻¹ − D⁻¹1 1′D⁻¹/(1′D⁻¹1) is what is left.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_factor, cho_solve

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.network_faces import FaceReadings


@dataclass(frozen=True)
class Observed:
    """What stands for a face's readings: the rows of it that tell something, their locations and precisions."""

    face: FaceReadings
    rows: IntArray
    location: FloatArray
    precision: FloatArray


@dataclass(frozen=True)
class Solution:
    """θ of all configurations and then β, with their covariance, and the log evidence of the spread."""

    estimate: FloatArray
    covariance: FloatArray
    log_evidence: float


@dataclass(frozen=True)
class _Normal:
    """The normal equations: matrix, right side, and what the evidence has beside them."""

    matrix: FloatArray
    right: FloatArray
    rest: float


def solution(observed: Sequence[Observed], configurations: int, tau: float, mean_sd: float) -> Solution:
    """Solve the network; `mean_sd` is s."""
    normal = _normal(observed, configurations, tau, mean_sd)
    factor = cho_factor(normal.matrix, lower=True)
    estimate = cho_solve(factor, normal.right)
    covariance = cho_solve(factor, np.eye(len(normal.right)))
    return Solution(estimate, covariance, _evidence(normal, factor[0], estimate))


def log_evidence(observed: Sequence[Observed], configurations: int, tau: float, mean_sd: float) -> float:
    """Log evidence of a spread, up to a constant."""
    normal = _normal(observed, configurations, tau, mean_sd)
    factor = cho_factor(normal.matrix, lower=True)
    return _evidence(normal, factor[0], cho_solve(factor, normal.right))


def left(covariance: FloatArray) -> tuple[FloatArray, FloatArray, float]:
    """The inverse of a face's covariance, what is left of it without the face's level, and 1′D⁻¹1."""
    inverse = np.asarray(np.linalg.inv(covariance), dtype=np.float64)
    sums = inverse.sum(axis=1)
    total = float(sums.sum())
    return inverse, inverse - np.outer(sums, sums) / total, total


def _normal(observed: Sequence[Observed], configurations: int, tau: float, mean_sd: float) -> _Normal:
    errors = observed[0].face.loadings.shape[1] if observed else 0
    size = configurations + errors
    matrix, right, rest = np.zeros((size, size)), np.zeros(size), 0.0
    matrix[np.arange(size), np.arange(size)] = [2 / mean_sd**2] * configurations + [1.0] * errors
    for one in observed:
        rows = one.rows
        covariance = one.face.shared(tau)[np.ix_(rows, rows)] + np.diag(1 / one.precision)
        _, kept, total = left(covariance)
        places, loadings = one.face.places[rows], one.face.loadings[rows]
        weighted = kept @ one.location
        np.add.at(matrix, (places[:, None], places), kept)
        np.add.at(right, places, weighted)
        if errors:
            cross = kept @ loadings
            np.add.at(matrix[:, configurations:], places, cross)
            matrix[configurations:, configurations:] += loadings.T @ cross
            right[configurations:] += loadings.T @ weighted
        rest += float(np.linalg.slogdet(covariance)[1]) + np.log(total) + float(one.location @ weighted)
    matrix[configurations:, :configurations] = matrix[:configurations, configurations:].T
    return _Normal(matrix, right, rest)


def _evidence(normal: _Normal, triangle: FloatArray, estimate: FloatArray) -> float:
    determinant = 2 * float(np.log(np.diag(triangle)).sum())
    return -0.5 * (normal.rest + determinant - float(normal.right @ estimate))
