"""Pooling what a part does over masks and wearers that share contrasts: three spreads.

Taking contrasts of one mask or wearer for independent would make the interval of their mean far too narrow. So each is
mean + mask + wearer + rest + error (`crossed_model`), with half-normal priors on the three standard deviations, which
are averaged over a grid of 7 × 7 × 7 points, refined once where the data hold them to fewer. Two predictions follow: on
a new face with one of the masks at hand, each as likely as the other, and on a new face with a mask that nobody tried.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from builder.fit.arrays import FloatArray
from builder.fit.compare.crossed_model import Layout, Solved, Spreads
from builder.fit.compare.crossed_sites import settle
from builder.fit.compare.half_normal import HalfNormalGrid
from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.pooling import Mixture
from builder.fit.compare.verdicts import Bound
from builder.fit.intervals import Interval
from builder.fit.levels import SHOWN_LEVEL, tails

MASK_SCALE, WEARER_SCALE, REST_SCALE = 0.5, 0.5, 0.3
"""Scales of the half-normal priors of the three standard deviations, ln units."""

MANY_MASKS = 100
"""Above this the grid has 5 points a side."""
_NEGLIGIBLE = 1e-5
"""Weight of a point of the grid, beside all, below which it is left out of mixtures."""


@dataclass(frozen=True)
class Spread:
    """A standard deviation between masks or wearers, ln units: posterior mean and interval."""

    mean: float
    interval: Interval


@dataclass(frozen=True)
class CrossedPool:
    """Posterior over all contrasts, on ln FF.

    `mean` over masks and wearers; `new_face` with a mask of this list, `new_mask` with one never tried, `by_mask` on a
    new face with each mask of the list. `exact` contrasts and `limits` with "at least" readings stand behind them;
    `bound` says whether all of these bound the effect only on one side, where nothing but the prior closes the other.
    """

    mean: Mixture
    new_face: Mixture
    new_mask: Mixture
    by_mask: dict[str, Mixture]
    between_masks: Spread
    between_wearers: Spread
    between_faces: Spread
    """Wearers and the rest together: how much the effect of one mask differs from face to face."""
    rest: Spread
    exact: int
    limits: int
    masks: int
    wearers: int
    bound: Bound

    @property
    def chance_helps(self) -> float:
        """Chance of an effect above 0 on a new face with a mask of this list."""
        return self.new_face.above(0.0)

    @property
    def chance_helps_new_mask(self) -> float:
        """The same with a mask that nobody tried."""
        return self.new_mask.above(0.0)


def pool_crossed(
    contrasts: Sequence[JointDifference],
    masks: Sequence[str],
    wearers: Sequence[str],
    shared: ArrayLike | None = None,
) -> CrossedPool:
    """Pool contrasts, each with its mask and wearer. `shared` is as in `Layout`; none may have the bound "both".

    ValueError without any contrast.
    """
    if not contrasts:
        raise ValueError("nothing to pool")
    names, mask = np.unique(np.asarray(masks, dtype=str), return_inverse=True)
    people, wearer = np.unique(np.asarray(wearers, dtype=str), return_inverse=True)
    common = np.zeros((len(contrasts), 0)) if shared is None else np.asarray(shared, dtype=np.float64)
    layout = Layout(mask, wearer, len(names), len(people), common)
    nodes = 7 if len(names) <= MANY_MASKS else 5
    grids = tuple(HalfNormalGrid(scale, nodes) for scale in (MASK_SCALE, WEARER_SCALE, REST_SCALE))
    solved, weights = _over_grid(layout, grids, contrasts)
    narrowed = tuple(grid.narrowed(w) for grid, w in zip(grids, _marginals(weights), strict=True))
    if any(after.high - after.low <= 0.6 for after in narrowed):
        grids = narrowed
        solved, weights = _over_grid(layout, grids, contrasts)
    spreads = _points(grids)
    flat = weights.reshape(-1)
    kept = np.flatnonzero(flat > _NEGLIGIBLE * flat.max())
    share = flat[kept] / flat[kept].sum()
    at = spreads.take(kept)
    beta, covariance = solved.beta[kept], solved.covariance(kept)
    own = at.wearer**2 + at.rest**2
    variance = covariance[:, 0, 0]
    by_mask = {}
    for number, name in enumerate(names, start=1):
        of_mask = variance + covariance[:, number, number] + 2 * covariance[:, 0, number]
        by_mask[str(name)] = Mixture(share, beta[:, 0] + beta[:, number], np.sqrt(of_mask + own))
    marginals = _marginals(weights)
    between = [
        Spread(float(w @ grid.values), grid.interval(w, SHOWN_LEVEL)) for grid, w in zip(grids, marginals, strict=True)
    ]
    return CrossedPool(
        mean=Mixture(share, beta[:, 0], np.sqrt(variance)),
        new_face=_together(list(by_mask.values())),
        new_mask=Mixture(share, beta[:, 0], np.sqrt(variance + at.mask**2 + own)),
        by_mask=by_mask,
        between_masks=between[0],
        between_wearers=between[1],
        between_faces=_between_faces(spreads, flat),
        rest=between[2],
        exact=sum(one.exact for one in contrasts),
        limits=sum(not one.exact for one in contrasts),
        masks=len(names),
        wearers=len(people),
        bound=_bound(contrasts),
    )


def _points(grids: Sequence[HalfNormalGrid]) -> Spreads:
    """Every combination of the values of three grids, the last changing fastest."""
    return Spreads(*(axis.reshape(-1) for axis in np.meshgrid(*(grid.values for grid in grids), indexing="ij")))


def _over_grid(
    layout: Layout, grids: Sequence[HalfNormalGrid], contrasts: Sequence[JointDifference]
) -> tuple[Solved, FloatArray]:
    """The posterior at each point, and the weight of each, shaped as the grids."""
    solved, log_evidence = settle(layout, _points(grids), contrasts)
    prior = grids[0].weights[:, None, None] * grids[1].weights[:, None] * grids[2].weights
    log = log_evidence.reshape(prior.shape) + np.log(prior)
    weights = np.exp(log - log.max())
    return solved, weights / weights.sum()


def _marginals(weights: FloatArray) -> list[FloatArray]:
    return [weights.sum(axis=tuple(other for other in range(3) if other != axis)) for axis in range(3)]


def _between_faces(spreads: Spreads, weights: FloatArray) -> Spread:
    """The root of the squares of wearers and rest, over the points of the grid."""
    both = np.hypot(spreads.wearer, spreads.rest)
    order = np.argsort(both, kind="stable")
    sorted_weights = weights[order] / weights.sum()
    # Each point stands for what lies around it.
    below = np.cumsum(sorted_weights) - 0.5 * sorted_weights
    low, high = np.interp(tails(SHOWN_LEVEL), below, both[order])
    return Spread(float(weights @ both / weights.sum()), Interval(float(low), float(high)))


def _together(mixtures: Sequence[Mixture]) -> Mixture:
    """Mixtures side by side, each weighing the same."""
    return Mixture(
        np.concatenate([one.weights for one in mixtures]) / len(mixtures),
        np.concatenate([one.means for one in mixtures]),
        np.concatenate([one.sds for one in mixtures]),
    )


def _bound(contrasts: Sequence[JointDifference]) -> Bound:
    bounds = {one.bound for one in contrasts}
    return bounds.pop() if len(bounds) == 1 else "none"
