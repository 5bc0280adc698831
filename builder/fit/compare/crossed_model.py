"""A contrast as mean + mask + wearer + rest + error: the posterior of all of them at given standard deviations.

    y = μ + mask + wearer + rest + error,   μ ~ N(0, MEAN_SD²), the next three with standard deviations a, b, c

With d = 1/(v + c²), the design F of μ, masks and shared errors, and Z of the wearers, these are eliminated first:

    P = Z′DZ + b⁻²,   S = F′DF + prior⁻¹ − F′DZ P⁻¹ Z′DF,   β = S⁻¹ (F′Dy − F′DZ P⁻¹ Z′Dy)

so that only S, of one row more than there are masks, is dense (Henderson, Biometrics 1975;31:423–447). Everything is
solved at many standard deviations at once.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.pooling import MEAN_SD


@dataclass(frozen=True)
class Layout:
    """Which mask and wearer each of k contrasts is of, by number, and errors they have in common.

    `shared` (k, r) gives what each of r independent standard normal errors adds to each contrast.
    """

    mask: IntArray
    wearer: IntArray
    masks: int
    wearers: int
    shared: FloatArray

    @cached_property
    def design(self) -> FloatArray:
        """F: a column of ones, one a mask, and the shared errors, (k, 1 + masks + r)."""
        return np.column_stack([np.ones(len(self.mask)), np.eye(self.masks)[self.mask], self.shared])

    def by_wearer(self, values: FloatArray) -> FloatArray:
        """Sums over each wearer's contrasts, (N, k) to (N, wearers)."""
        return np.asarray(values @ np.eye(self.wearers)[self.wearer])

    def by_column(self, values: FloatArray) -> FloatArray:
        """F′ times values, (N, k) to (N, q)."""
        return np.asarray(values @ self.design)

    def squares(self, weights: FloatArray) -> FloatArray:
        """F′DF of weights (N, k), (N, q, q)."""
        size = self.design.shape[1]
        found = np.zeros((len(weights), size, size))
        found[:, 0] = found[:, :, 0] = self.by_column(weights)
        of_masks = np.arange(1, 1 + self.masks)
        found[:, of_masks, of_masks] = found[:, 0, of_masks]
        for column in range(1 + self.masks, size):
            found[:, column] = found[:, :, column] = self.by_column(weights * self.design[:, column])
        return found

    def links(self, weights: FloatArray) -> FloatArray:
        """F′DZ of weights (N, k), (N, q, wearers)."""
        found = np.zeros((len(weights), self.design.shape[1], self.wearers))
        met, which = np.unique(np.stack([self.mask, self.wearer]), axis=1, return_inverse=True)
        found[:, 1 + met[0], met[1]] = weights @ np.eye(met.shape[1])[which]
        found[:, 0] = found[:, 1 : 1 + self.masks].sum(axis=1)
        for column in range(1 + self.masks, self.design.shape[1]):
            found[:, column] = self.by_wearer(weights * self.design[:, column])
        return found


@dataclass(frozen=True)
class Spreads:
    """Standard deviations a, b and c at each point of a grid, all of one length."""

    mask: FloatArray
    wearer: FloatArray
    rest: FloatArray

    def take(self, points: IntArray) -> "Spreads":
        """Some of the points."""
        return Spreads(self.mask[points], self.wearer[points], self.rest[points])


@dataclass(frozen=True)
class Solved:
    """The posterior at each of N points.

    What does not depend on the standard deviation between masks is kept once for all points that share the rest: row
    `pair` of it is that of each point.
    """

    layout: Layout
    beta: FloatArray
    """Means of μ, masks and shared errors, (N, q)."""
    precision: FloatArray
    """S, (N, q, q)."""
    log_evidence: FloatArray
    pair: IntArray
    wearer_precision: FloatArray
    """P, (pairs, wearers)."""
    link: FloatArray
    """F′DZ, (pairs, q, wearers)."""
    wearer_sum: FloatArray
    """Z′Dy, (pairs, wearers)."""

    def covariance(self, points: IntArray) -> FloatArray:
        """S⁻¹, the covariance of `beta`, at some points."""
        return np.asarray(np.linalg.inv(self.precision[points]), dtype=np.float64)

    def effects(self, contrasts: IntArray) -> tuple[FloatArray, FloatArray]:
        """Mean and variance of what contrasts are about, without the rest and their errors, (N, contrasts)."""
        wearer = self.layout.wearer[contrasts]
        precision = self.wearer_precision[:, wearer]
        rows = (self.layout.design[contrasts].T - self.link[:, :, wearer] / precision[:, None, :])[self.pair]
        mean = (rows * self.beta[:, :, None]).sum(axis=1) + (self.wearer_sum[:, wearer] / precision)[self.pair]
        half: FloatArray = np.asarray(np.linalg.solve(self.precision, rows), dtype=np.float64)
        return mean, np.asarray((rows * half).sum(axis=1) + 1 / precision[self.pair])


def solve(layout: Layout, spreads: Spreads, effects: FloatArray, precision: FloatArray) -> Solved:
    """The posterior at each point, from `effects` and the `precision` of their errors, (k,) or (N, k)."""
    points, own = len(spreads.mask), effects.ndim == 2
    if own:
        pair = of_rest = np.arange(points)
        wearer_sd, rest = spreads.wearer, spreads.rest
    else:
        pairs, pair = np.unique(np.stack([spreads.rest, spreads.wearer]), axis=1, return_inverse=True)
        wearer_sd = pairs[1]
        rest, of_rest = np.unique(pairs[0], return_inverse=True)
    d = 1 / (1 / precision + rest[:, None] ** 2)
    weighted = d * effects
    link = layout.links(d)[of_rest]
    wearer_precision = layout.by_wearer(d)[of_rest] + wearer_sd[:, None] ** -2
    wearer_sum = layout.by_wearer(weighted)[of_rest]
    scaled = link / wearer_precision[:, None, :]
    schur = (layout.squares(d)[of_rest] - scaled @ link.transpose(0, 2, 1))[pair]
    rhs = (layout.by_column(weighted)[of_rest] - (scaled @ wearer_sum[..., None])[..., 0])[pair]
    quadratic = (weighted * effects).sum(axis=1)[of_rest] - (wearer_sum**2 / wearer_precision).sum(axis=1)
    log_determinant = (
        np.log(wearer_precision).sum(axis=1) + 2 * layout.wearers * np.log(wearer_sd) - np.log(d).sum(axis=1)[of_rest]
    )
    prior = np.ones((points, schur.shape[1]))
    prior[:, 0] = MEAN_SD**-2
    prior[:, 1 : 1 + layout.masks] = spreads.mask[:, None] ** -2
    diagonal = np.arange(schur.shape[1])
    schur[:, diagonal, diagonal] += prior
    half = np.linalg.cholesky(schur)
    beta: FloatArray = np.asarray(np.linalg.solve(schur, rhs[..., None])[..., 0], dtype=np.float64)
    total = (
        quadratic[pair]
        - (rhs * beta).sum(axis=1)
        + log_determinant[pair]
        + 2 * np.log(half[:, diagonal, diagonal]).sum(axis=1)
        - np.log(prior).sum(axis=1)
    )
    return Solved(layout, beta, schur, -0.5 * total, pair, wearer_precision, link, wearer_sum)
