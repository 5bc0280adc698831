"""What a hack does over the wearers and masks it was tried on, and what to expect of it on a new face."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from builder.fit.arrays import FloatArray
from builder.fit.compare.crossed_pooling import CrossedPool, Spread, pool_crossed
from builder.fit.compare.hack_contrasts import HackContrast, ToldContrast, told_contrasts
from builder.fit.compare.measured_arms import MeasuredArms, arm_parts
from builder.fit.compare.pooling import Heterogeneity, Mixture, heterogeneity
from builder.fit.compare.verdicts import Bound
from builder.fit.levels import SHOWN_LEVEL


@dataclass(frozen=True)
class HackEffect:
    """What the part does over all wearers and masks it was tried on both with and without.

    `k` contrasts are pooled as exact ratios, `limits` more as one-sided ones; the rest, limits on both sides, tell
    nothing. Pooled figures are None below two that tell something. The mean is over wearers and masks; where every
    contrast is a limit in one direction, `bound` says so and it is open (None) beyond. `predict_…` is for a new face
    with a mask of this list, `predict_new_mask_…` for one with a mask never tried; `chance_helps…` is the chance that
    the ratio is above 1 there. `tau` is the spread between faces (ln), `between_…` the three spreads with their 95 %
    intervals.
    """

    part: str
    slot: str
    contrasts: tuple[HackContrast, ...]
    k: int
    limits: int
    mean_ratio: float | None = None
    low95: float | None = None
    high95: float | None = None
    predict_low95: float | None = None
    predict_high95: float | None = None
    tau: float | None = None
    chance_helps: float | None = None
    predict_new_mask_low95: float | None = None
    predict_new_mask_high95: float | None = None
    chance_helps_new_mask: float | None = None
    bound: Bound = "none"
    between_masks: Spread | None = None
    between_wearers: Spread | None = None
    between_faces: Spread | None = None
    rest: Spread | None = None
    heterogeneity: Heterogeneity | None = None

    @property
    def pooled(self) -> bool:
        """Whether there is a mean, if only a limit of it."""
        return self.tau is not None

    @property
    def exact(self) -> tuple[HackContrast, ...]:
        """The contrasts that give a ratio."""
        return tuple(one for one in self.contrasts if one.bound == "none")

    @property
    def one_sided(self) -> tuple[HackContrast, ...]:
        """The contrasts that only give a limit."""
        return tuple(one for one in self.contrasts if one.bound in ("at_least", "at_most"))


def all_hacks(table: pd.DataFrame, arms: MeasuredArms, slots: Sequence[str]) -> tuple[HackEffect, ...]:
    """What each part tried does, in the order of slots and then parts; `slots` as in `arm_parts`.

    A part is credited with nothing that another part, changed together with it, may have done.
    """
    places = arm_parts(table, slots)
    found = []
    for slot in slots:
        told = told_contrasts(places, arms, slot, slots)
        tried = sorted(part for part in set(places[slot]) if part)
        found += [_effect(part, slot, told.get(part, [])) for part in tried]
    return tuple(found)


def _effect(part: str, slot: str, told: Sequence[ToldContrast]) -> HackEffect:
    contrasts = tuple(one.contrast for one in told)
    telling = [one for one in told if one.contrast.bound != "both"]
    k = sum(one.contrast.bound == "none" for one in telling)
    bare = HackEffect(part, slot, contrasts, k, len(telling) - k)
    if len(telling) < 2:
        return bare
    return _with(
        bare,
        pool_crossed(
            [one.difference for one in telling],
            [one.contrast.mask for one in telling],
            [one.contrast.wearer for one in telling],
            _shared(telling),
        ),
    )


def _with(bare: HackEffect, pool: CrossedPool) -> HackEffect:
    low, high = _ends(pool.mean, pool.bound)
    predict_low, predict_high = _ends(pool.new_face, pool.bound)
    new_mask_low, new_mask_high = _ends(pool.new_mask, pool.bound)
    return HackEffect(
        bare.part,
        bare.slot,
        bare.contrasts,
        bare.k,
        bare.limits,
        mean_ratio=float(np.exp(pool.mean.mean)) if pool.bound == "none" else None,
        low95=low,
        high95=high,
        predict_low95=predict_low,
        predict_high95=predict_high,
        tau=pool.between_faces.mean,
        chance_helps=pool.chance_helps,
        predict_new_mask_low95=new_mask_low,
        predict_new_mask_high95=new_mask_high,
        chance_helps_new_mask=pool.chance_helps_new_mask,
        bound=pool.bound,
        between_masks=pool.between_masks,
        between_wearers=pool.between_wearers,
        between_faces=pool.between_faces,
        rest=pool.rest,
        heterogeneity=heterogeneity(pool.between_faces.interval),
    )


def _ends(mixture: Mixture, bound: Bound) -> tuple[float | None, float | None]:
    """Limits of a ratio; beyond a bound there is nothing but the prior, so that side is open."""
    interval = mixture.interval(SHOWN_LEVEL)
    low = None if bound == "at_most" else float(np.exp(interval.low))
    return low, None if bound == "at_least" else float(np.exp(interval.high))


def _shared(told: Sequence[ToldContrast]) -> FloatArray:
    """Loadings (contrasts, errors), as few independent errors as say the same; no columns where all are alike."""
    errors = max(len(one.shared) for one in told)
    loadings = np.array([[*one.shared, *[0.0] * (errors - len(one.shared))] for one in told])
    if not loadings.any():
        return np.zeros((len(told), 0))
    left, sizes, _ = np.linalg.svd(loadings, full_matrices=False)
    kept = sizes > 1e-9 * sizes[0]
    return np.asarray(left[:, kept] * sizes[kept], dtype=np.float64)
