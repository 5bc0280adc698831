"""Pooling wearers some of whom are only known to be above or below a value: random effects by likelihood.

As `pooling.bayes_pool`, each wearer's own effect is normal around the mean μ with spread τ. Exact contrasts keep their
closed form. A wearer with limits enters by the likelihood L_w of `limits`, spread by τ:

    M_w(μ, τ) = ∫ L_w(d) φ((d − μ)/τ)/τ dd

summed on an even grid of d and constant beyond its ends. Given τ the exact contrasts and the prior make μ normal,
N(m, s²). That normal is written as normals of SD β s, β = 0.3, evenly spaced over m ± 8s, each weighed by Π M_w at its
centre and tilted by the slope and curvature of its logarithm there. The posterior stays a mixture of normals, and where
nothing is a limit it is that of `bayes_pool` to the last digits.

Exact contrasts may have errors in common (what is taken out between methods of measuring): contrast i then has
Σ_j z_ij e_j more, e standard normal. Weighted sums ⟨x, y⟩ = Σ w x y, w = 1/(v + τ²), then become

    ⟨x, y⟩ − ⟨x, z⟩ (I + ⟨z, z⟩)⁻¹ ⟨z, y⟩   and   Π w   becomes   Π w / |I + ⟨z, z⟩|
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtr

from builder.fit.arrays import FloatArray
from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.pooling import GRID_END, GRID_POINTS, MEAN_SD, TAU_SCALE, Mixture, Pooled

NARROW = 0.3
"""β: width of each normal beside that of the whole."""
PLACES = np.linspace(-8, 8, 65)
"""Where the normals stand, in s √(1 − β²)."""
STEP = 0.05
"""Of the grid of d, ln units; finer where a wearer is known better than that."""
WIDEST_STRIDE = 16
"""Of these steps at most one is taken, a power of 2."""
NARROWEST_STEP = 0.7
"""A step is at most so many SDs of what is summed up."""
FARTHEST = 40.0
"""Log density below the highest where a place no longer counts."""


def pool_with_limits(
    effects: ArrayLike, variances: ArrayLike, limited: Sequence[JointDifference], shared: ArrayLike | None = None
) -> Pooled:
    """Posterior of the mean effect and of a new one, from exact contrasts and wearers with limits; one or more.

    `shared` holds z of the exact contrasts, (effects, errors in common). Wearers without any exact reading tell nothing
    and must be left out.
    """
    y, v = np.asarray(effects, dtype=np.float64), np.asarray(variances, dtype=np.float64)
    z = np.zeros((len(y), 0)) if shared is None else np.asarray(shared, dtype=np.float64)
    tau = np.linspace(0, GRID_END * TAU_SCALE, GRID_POINTS)
    w = 1 / (v + tau[:, None] ** 2)
    ones_ones, ones_y, y_y, log_w = _weighted_sums(w, y, z)
    precision = ones_ones + MEAN_SD**-2
    centre, sd = ones_y / precision, precision**-0.5
    log_weight = -0.5 * ((tau / TAU_SCALE) ** 2 - log_w + np.log(precision) + y_y - centre**2 * precision)
    log_weight[[0, -1]] -= np.log(2)

    if not limited:
        return _closed(tau, log_weight, centre, sd, len(y))
    spaced = sd * np.sqrt(1 - NARROW**2) * (PLACES[1] - PLACES[0])
    places = centre[:, None] + spaced[:, None] * np.arange(-(len(PLACES) // 2), len(PLACES) // 2 + 1)
    width = NARROW * sd[:, None]
    log = _log_spread(limited, places, tau).sum(axis=0)
    slope = np.gradient(log, axis=1) / spaced[:, None]
    bend = np.minimum(np.gradient(slope, axis=1) / spaced[:, None], 0.0)
    left = 1 - width**2 * bend
    untilted = log_weight[:, None] - 0.5 * PLACES**2 + log
    log = untilted + 0.5 * width**2 * slope**2 / left - 0.5 * np.log(left)
    # Far out, where the likelihood has all but vanished, its slope means nothing.
    log = np.where(untilted > untilted.max() - FARTHEST, log, -np.inf)
    weights = np.exp(log - log.max())
    weights /= weights.sum()
    kept = weights > 1e-12
    means = (places + width**2 * slope / left)[kept]
    variance = (width**2 / left)[kept]
    spread = np.broadcast_to(tau[:, None] ** 2, weights.shape)[kept]
    share = weights[kept] / weights[kept].sum()
    return Pooled(
        mean=Mixture(share, means, np.sqrt(variance)),
        new=Mixture(share, means, np.sqrt(variance + spread)),
        tau=float(weights.sum(axis=1) @ tau),
        k=len(y) + len(limited),
    )


def _closed(tau: FloatArray, log_weight: FloatArray, centre: FloatArray, sd: FloatArray, k: int) -> Pooled:
    """The posterior where nothing is a limit."""
    weights = np.exp(log_weight - log_weight.max())
    weights /= weights.sum()
    new = Mixture(weights, centre, np.sqrt(sd**2 + tau**2))
    return Pooled(mean=Mixture(weights, centre, sd), new=new, tau=float(weights @ tau), k=k)


def _weighted_sums(
    w: FloatArray, y: FloatArray, z: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """⟨1, 1⟩, ⟨1, y⟩, ⟨y, y⟩ and ln Π w at each row of weights, less what errors in common take away."""
    both = np.column_stack([np.ones_like(y), y])
    sums = np.einsum("ti,ia,ib->tab", w, both, both)
    log_w = np.log(w).sum(axis=1)
    if z.shape[1]:
        z_z = np.einsum("ti,ia,ib->tab", w, z, z) + np.eye(z.shape[1])
        z_both = np.einsum("ti,ia,ib->tab", w, z, both)
        sums = sums - z_both.transpose(0, 2, 1) @ np.linalg.solve(z_z, z_both)
        log_w = log_w - np.linalg.slogdet(z_z)[1]
    return sums[:, 0, 0], sums[:, 0, 1], sums[:, 1, 1], log_w


def _log_spread(limited: Sequence[JointDifference], places: FloatArray, tau: FloatArray) -> FloatArray:
    """ln M_w at each μ (τ, places) for each τ, (limited, τ, places).

    Variance that a wearer has beyond donnings spreads L_w as τ does.
    """
    apart = [one.without_extra() for one in limited]
    found = np.empty((len(limited), *places.shape))
    for extra in sorted({extra for _, extra in apart}):
        own = [place for place, (_, other) in enumerate(apart) if other == extra]
        found[own] = _spread_alike([apart[place][0] for place in own], places, np.sqrt(tau**2 + extra))
    return found


def _spread_alike(limited: Sequence[JointDifference], places: FloatArray, spreads: FloatArray) -> FloatArray:
    """The same for wearers whose likelihoods are spread alike, a normal of SD `spreads` for each row of places."""
    ends = [end for one in limited for end in one.ends]
    narrowest = min(one.narrowest for one in limited)
    step = min(STEP, 0.5 * narrowest)
    steps = WIDEST_STRIDE * int(np.ceil((max(ends) - min(ends)) / step / WIDEST_STRIDE))
    grid = min(ends) + step * np.arange(steps + 1)
    log = np.stack([one.log_likelihood(grid) for one in limited])
    highest = log.max(axis=1, keepdims=True)
    likelihood = np.exp(log - highest)
    found = np.empty((len(limited), *places.shape))
    for row, (at, spread) in enumerate(zip(places, spreads, strict=True)):
        if spread == 0:
            found[:, row] = np.stack([one.log_likelihood(at) for one in limited]) - highest
            continue
        # What is summed up is as narrow as the likelihood and the normal together.
        stride = 1
        while (
            2 * stride <= WIDEST_STRIDE and 2 * stride * step <= NARROWEST_STEP * (spread**-2 + narrowest**-2) ** -0.5
        ):
            stride *= 2
        coarse = grid[::stride]
        kernel = np.exp(-0.5 * ((coarse - at[:, None]) / spread) ** 2) * (stride * step / spread / np.sqrt(2 * np.pi))
        # The likelihood goes on beyond the ends, so the trapezoid rule needs its term for the slope there.
        slope = stride * step / spread**2 / 12
        kernel[:, 0] *= 0.5 + slope * (at - grid[0])
        kernel[:, -1] *= 0.5 + slope * (grid[-1] - at)
        kernel[:, 0] += ndtr((grid[0] - at) / spread)
        kernel[:, -1] += ndtr((at - grid[-1]) / spread)
        found[:, row] = np.log(np.maximum(likelihood[:, ::stride] @ kernel.T, 1e-300))
    return found
