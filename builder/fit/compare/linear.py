"""Weighted least squares that knows which coefficients the design can tell apart."""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import qr

from builder.fit.arrays import FloatArray


@dataclass(frozen=True)
class LinearFit:
    """Coefficients with their covariance, and the projector onto the row space of the design."""

    coefficients: FloatArray
    covariance: FloatArray
    row_space: FloatArray

    def estimable(self, combination: FloatArray) -> bool:
        """Whether a linear combination of the coefficients is determined by the design."""
        return bool(np.abs(self.row_space @ combination - combination).max() < 1e-7)

    def aliases(self, column: int) -> list[int]:
        """Columns that the design cannot tell apart from `column`; none where it is estimable."""
        entangled = np.flatnonzero(np.abs(self.row_space[column]) > 1e-7)
        return [int(other) for other in entangled if other != column]

    def estimate(self, combination: FloatArray) -> tuple[float, float]:
        """Value and standard error of an estimable combination."""
        return float(combination @ self.coefficients), float(np.sqrt(combination @ self.covariance @ combination))


def least_squares(design: FloatArray, y: FloatArray, weights: FloatArray, covariance: FloatArray) -> LinearFit:
    """Fit `y` (rows) on `design` (rows × columns, of any rank) with `weights`, where `covariance` is that of `y`.

    Both are matrices, rows × rows. With the inverse of the covariance for weights this is generalised least squares;
    with any other weights the covariance of the coefficients still holds.
    """
    weighted = design.T @ weights
    solver = np.linalg.pinv(weighted @ design, hermitian=True) @ weighted
    return LinearFit(solver @ y, solver @ covariance @ solver.T, row_space(design))


def inverse(matrix: FloatArray) -> FloatArray:
    """The inverse of a covariance."""
    return np.asarray(np.linalg.inv(matrix), dtype=np.float64)


def row_space(design: FloatArray) -> FloatArray:
    """Projector onto the row space of a matrix, by rank-revealing QR with column pivoting."""
    basis, triangle, _ = qr(design.T, mode="economic", pivoting=True)
    size = np.abs(np.diag(triangle))
    basis = basis[:, : int(np.count_nonzero(size > 1e-9 * size.max()))]
    projector: FloatArray = basis @ basis.T
    return projector
