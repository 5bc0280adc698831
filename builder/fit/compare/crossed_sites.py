"""Contrasts with limits in the crossed model, by expectation propagation.

What such a contrast tells of its own effect d = μ + mask + wearer + rest is the likelihood L(d) of `JointDifference`,
no normal one. A normal site stands in for it, whose location and precision make the first two moments of d right given
what all others say of it (Rasmussen & Williams, Gaussian Processes for Machine Learning, 2006, §3.6). Moments are sums
over an even grid of d. The sites are settled at each point of the grid of standard deviations, and their mass enters
the evidence there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from scipy.special import ndtr

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.crossed_model import Layout, Solved, Spreads, solve
from builder.fit.compare.joint_difference import JointDifference

MANY_CONTRASTS = 120
"""Above this one set of sites serves the whole grid."""
_SWEEPS = 25
_DAMPING = 0.8
_SETTLED = 1e-3
_FLOOR = 1e-4
"""Least precision of a site."""
_FINEST, _COARSEST = 0.01, 0.08
_LOG_2PI = float(np.log(2 * np.pi))


def settle(layout: Layout, spreads: Spreads, contrasts: Sequence[JointDifference]) -> tuple[Solved, FloatArray]:
    """The posterior at each point, and its log evidence with the mass of the sites in it.

    With many contrasts the standard deviations are known well enough for one set of sites, settled in their midst.
    """
    which = np.array([i for i, one in enumerate(contrasts) if not one.exact], dtype=np.intp)
    location = np.array([one.estimate if one.exact else one.middle for one in contrasts])
    precision = np.array([1 / one.variance if one.exact else 0.5 * one.narrowest**-2 for one in contrasts])
    if not len(which):
        solved = solve(layout, spreads, location, precision)
        return solved, solved.log_evidence
    tables = [_Table.of(one) for one in contrasts if not one.exact]
    if len(contrasts) <= MANY_CONTRASTS:
        start = np.tile(location, (len(spreads.mask), 1)), np.tile(precision, (len(spreads.mask), 1))
        solved, _, mass = _sweep(layout, spreads, tables, which, start)
        return solved, solved.log_evidence + mass
    sites = location[None], precision[None]
    middle = Spreads(*(np.array([np.median(sd)]) for sd in (spreads.mask, spreads.wearer, spreads.rest)))
    for _ in range(2):
        _, sites, _ = _sweep(layout, middle, tables, which, sites)
        solved = solve(layout, spreads, sites[0][0], sites[1][0])
        weight = np.exp(solved.log_evidence - solved.log_evidence.max())
        middle = Spreads(
            *(np.array([np.average(sd, weights=weight)]) for sd in (spreads.mask, spreads.wearer, spreads.rest))
        )
    return solved, solved.log_evidence


_Sites: TypeAlias = tuple[FloatArray, FloatArray]
"""Location and precision of every contrast at every point, (N, k); exact ones are as they were measured."""


def _sweep(
    layout: Layout, spreads: Spreads, tables: Sequence["_Table"], which: IntArray, sites: _Sites
) -> tuple[Solved, _Sites, FloatArray]:
    """Settle the sites `which` at each point, and give the log mass that they add to the evidence."""
    location, precision = sites
    rest = spreads.rest[:, None] ** 2
    for sweep in range(_SWEEPS + 1):
        solved = solve(layout, spreads, location, precision)
        at, weight = location[:, which], precision[:, which]
        cavity_mean, cavity_variance = _without(solved, which, at, weight, rest)
        found = [table.moments(cavity_mean[:, j], cavity_variance[:, j]) for j, table in enumerate(tables)]
        log_mass, mean, variance = (np.stack(part, axis=1) for part in zip(*found, strict=True))
        aim = np.maximum(1 / variance - 1 / cavity_variance, _FLOOR)
        aim_weighted = mean * (aim + 1 / cavity_variance) - cavity_mean / cavity_variance
        typical = np.array([table.precision for table in tables])
        if sweep == _SWEEPS or np.max(np.abs(aim - weight) / (aim + 0.1 * typical)) < _SETTLED:
            break
        fresh = weight + _DAMPING * (aim - weight)
        location, precision = location.copy(), precision.copy()
        location[:, which] = (at * weight + _DAMPING * (aim_weighted - at * weight)) / fresh
        precision[:, which] = fresh
    total = cavity_variance + 1 / weight
    mass = log_mass + 0.5 * ((at - cavity_mean) ** 2 / total + np.log(total) + _LOG_2PI)
    return solved, (location, precision), mass.sum(axis=1)


def _without(
    solved: Solved, which: IntArray, location: FloatArray, precision: FloatArray, rest: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Mean and variance of contrasts' own effects, their rest included, from all but their own site."""
    mean, variance = solved.effects(which)
    own = 1 / (1 / precision + rest)
    left = 1 / np.maximum(1 / variance - own, _FLOOR)
    return left * (mean / variance - own * location), left + rest


@dataclass(frozen=True)
class _Table:
    """The likelihood of one contrast on an even grid of d, constant beyond where its limits are flat."""

    grid: FloatArray
    likelihood: FloatArray
    log_scale: float
    precision: float
    normal: tuple[float, float]
    """Estimate and variance of the exact backgrounds, kept apart from the table; variance infinite without any."""

    @classmethod
    def of(cls, contrast: JointDifference) -> "_Table":
        """The table of the contrast's limits."""
        low, high = contrast.ends
        step = float(np.clip(0.3 * contrast.narrowest, _FINEST, _COARSEST))
        grid = np.arange(low, high + step, step)
        log = sum((one.log_likelihood(grid) for one in contrast.limited), np.zeros_like(grid))
        return cls(
            grid,
            np.exp(log - log.max()),
            float(log.max()),
            contrast.narrowest**-2,
            (contrast.estimate, contrast.variance),
        )

    def moments(self, mean: FloatArray, variance: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Log mass, mean and variance of N(mean, variance) times the likelihood, at each point."""
        estimate, own = self.normal
        log_mass = np.zeros_like(mean)
        if np.isfinite(own):
            total = variance + own
            log_mass = -0.5 * ((estimate - mean) ** 2 / total + np.log(total) + _LOG_2PI)
            mean, variance = (mean * own + estimate * variance) / total, variance * own / total
        sd = np.sqrt(variance)
        step = self.grid[1] - self.grid[0]
        away = (self.grid - mean[:, None]) / sd[:, None]
        weight = self.likelihood * np.exp(-0.5 * away**2) * (step / sd[:, None] / np.sqrt(2 * np.pi))
        weight[:, [0, -1]] /= 2
        # The normal's tails beyond the table, where the likelihood is flat.
        low, high = away[:, 0], away[:, -1]
        tails = self.likelihood[0] * ndtr(low), self.likelihood[-1] * ndtr(-high)
        densities = [np.exp(-0.5 * end**2) / np.sqrt(2 * np.pi) for end in (low, high)]
        zeroth = weight.sum(axis=1) + tails[0] + tails[1]
        first = (weight * away).sum(axis=1) - self.likelihood[0] * densities[0] + self.likelihood[-1] * densities[1]
        second = (
            (weight * away**2).sum(axis=1)
            + tails[0]
            - self.likelihood[0] * low * densities[0]
            + tails[1]
            + self.likelihood[-1] * high * densities[1]
        )
        zeroth = np.maximum(zeroth, 1e-300)
        centre = first / zeroth
        spread = np.clip(second / zeroth - centre**2, 1e-6, 1.0)
        return log_mass + np.log(zeroth) + self.log_scale, mean + sd * centre, variance * spread
