"""What each wearer tells of a part on each mask: with it against without it, all else equal, like with like."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import pandas as pd
from scipy.special import ndtri, stdtrit

from builder.fit.arrays import FloatArray
from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.like_with_like import LikeWithLike, MethodArm, like_with_like
from builder.fit.compare.measured_arms import UNIT, MeasuredArms
from builder.fit.compare.verdicts import Bound
from builder.fit.levels import SHOWN_LEVEL, tails

_POINTS = 400
"""Steps of the likelihood whose quantiles bound a contrast with limits."""


@dataclass(frozen=True)
class HackContrast:
    """One wearer × mask: the fit factor with the part over that without it, all else equal.

    `backgrounds` are the configurations without the part that it was compared on, averaged by what they tell. Where all
    that tells anything are "at least" readings of one side, the ratio is a limit and open (None) beyond it. `method`
    says whether both sides were measured alike; where not, `method_factor` is how many times as high the method with
    the part reads, and was taken out.
    """

    wearer: str
    facial_hair: str
    mask: str
    backgrounds: tuple[str, ...]
    ratio: float | None
    low95: float | None
    high95: float | None
    n_with: int
    n_without: int
    bound: Bound
    variance: float | None
    """Of ln ratio: what it weighs when contrasts are pooled; None for nothing."""
    method: Literal["same", "mixed"]
    method_factor: float | None


@dataclass(frozen=True)
class ToldContrast:
    """A contrast with what it tells when pooled, apart from errors `shared` by all contrasts between methods."""

    contrast: HackContrast
    difference: JointDifference
    shared: tuple[float, ...]


def told_contrasts(
    places: pd.DataFrame, arms: MeasuredArms, slot: str, slots: Sequence[str]
) -> dict[str, list[ToldContrast]]:
    """By part of a slot, a contrast for each wearer × mask × facial hair, in order; `places` as `arm_parts` gives."""
    others = [other for other in slots if other != slot]
    pairs = places[places[slot] != ""].merge(
        places[places[slot] == ""], on=[*UNIT, *others], suffixes=("_with", "_without")
    )
    found: dict[str, list[ToldContrast]] = {}
    names = [f"{slot}_with", *UNIT]
    for (part, wearer, hair, mask), own in pairs.groupby(names, observed=True, sort=True):
        backgrounds = list(zip(own["configuration_without"], own["configuration_with"], strict=True))
        told = _Unit(str(wearer), str(hair), str(mask), backgrounds).told(arms)
        found.setdefault(str(part), []).append(told)
    return found


@dataclass(frozen=True)
class _Background:
    """A configuration without the part and one with it, and what they tell; None for nothing."""

    without: Sequence[MethodArm]
    with_: Sequence[MethodArm]
    told: LikeWithLike | None

    def donnings(self, side: Literal[0, 1]) -> int:
        """How many readings the comparison rests on, without the part or with it."""
        arms = (self.without, self.with_)[side]
        used = {arm.method for arm in arms} if self.told is None else {pair[side] for pair in self.told.methods}
        return sum(arm.readings.n + len(arm.readings.limits) for arm in arms if arm.method in used)


@dataclass(frozen=True)
class _Unit:
    """One wearer and mask with the pairs of configurations that differ in the part alone."""

    wearer: str
    facial_hair: str
    mask: str
    pairs: Sequence[tuple[str, str]]

    def told(self, arms: MeasuredArms) -> ToldContrast:
        """What the unit tells."""
        every = list(self._backgrounds(arms))
        telling = [one.told for one in every if one.told is not None]
        exact = [one for one in telling if np.isfinite(one.difference.variance)]
        difference, shared, df = _together(exact)
        limited = tuple(limit for one in telling for limit in one.difference.limited)
        joint = JointDifference(difference.estimate, difference.variance, limited)
        if limited:
            # How far the wearer's own donnings scatter is all that is known of an arm with limits.
            df = min(df, float(arms.scatter.of([self.wearer])[1][0]))
        variance = joint.narrowest**2 if telling else math.inf
        total = variance + sum(part * part for part in shared)
        ratio, low, high = _figures(joint, total, df)
        factors = [one.adjustment.estimate for one in telling if not one.alike]
        weights = [1 / one.difference.narrowest**2 for one in telling if not one.alike]
        return ToldContrast(
            HackContrast(
                wearer=self.wearer,
                facial_hair=self.facial_hair,
                mask=self.mask,
                backgrounds=tuple(without for without, _ in self.pairs),
                ratio=ratio,
                low95=low,
                high95=high,
                n_with=sum(one.donnings(1) for one in every),
                n_without=sum(one.donnings(0) for one in every),
                bound=joint.bound,
                variance=total if telling else None,
                method="mixed" if factors else "same",
                method_factor=math.exp(np.average(factors, weights=weights)) if factors else None,
            ),
            joint,
            shared,
        )

    def _backgrounds(self, arms: MeasuredArms) -> Iterator[_Background]:
        for names in self.pairs:
            without, with_ = (arms.readings[name, self.wearer, self.facial_hair] for name in names)
            yield _Background(without, with_, like_with_like(without, with_, self.wearer, arms.scatter, arms.effects))


def _together(exact: Sequence[LikeWithLike]) -> tuple[JointDifference, tuple[float, ...], float]:
    """Exact backgrounds by precision: their mean, its loading of errors between methods, and degrees of freedom.

    Different backgrounds share no arm. What is not known of the wearer's scatter, and what the wearer has of their own
    in a method, they all share: both are taken as if nothing of it averaged out.
    """
    if not exact:
        return JointDifference(0.0, math.inf), (), math.inf
    weights = np.array([1 / (one.difference.variance + sum(part * part for part in one.shared)) for one in exact])
    weights /= weights.sum()
    donnings = np.array([one.difference.variance - one.adjustment.own for one in exact])
    own = float(weights @ np.sqrt([one.adjustment.own for one in exact])) ** 2
    variance = float(weights**2 @ donnings)
    errors = max(len(one.shared) for one in exact)
    loadings = np.array([[*one.shared, *[0.0] * (errors - len(one.shared))] for one in exact])
    shared = weights @ loadings
    df = float((weights**2 * donnings / variance) @ [1 / one.df**0.5 for one in exact]) ** -2
    total = variance + own + float(shared @ shared)
    estimate = float(weights @ [one.difference.estimate for one in exact])
    return JointDifference(estimate, variance + own), tuple(shared.tolist()), df * (total / variance) ** 2


def _figures(joint: JointDifference, variance: float, df: float) -> tuple[float | None, float | None, float | None]:
    """Ratio with its 95 % limits; None where there is none."""
    if joint.bound == "both":
        return None, None, None
    quantile = float(stdtrit(df, tails(SHOWN_LEVEL)[1]))
    half = quantile * variance**0.5
    if joint.exact:
        return tuple(np.exp([joint.estimate, joint.estimate - half, joint.estimate + half]).tolist())
    if joint.bound == "at_least":
        return math.exp(joint.middle), math.exp(joint.middle - half), None
    if joint.bound == "at_most":
        return math.exp(joint.middle), None, math.exp(joint.middle + half)
    low, middle, high = _quantiles(joint)
    wider = quantile / float(ndtri(tails(SHOWN_LEVEL)[1]))
    return tuple(np.exp([middle, middle - wider * (middle - low), middle + wider * (high - middle)]).tolist())


def _quantiles(joint: JointDifference) -> FloatArray:
    """Lower limit, middle and upper limit of the likelihood of a difference bounded on both sides."""
    low, high = joint.ends
    grid = np.linspace(low, high, _POINTS)
    log = joint.log_likelihood(grid)
    below = np.cumsum(np.exp(log - log.max()))
    first, last = tails(SHOWN_LEVEL)
    return np.asarray(np.interp(np.array([first, 0.5, last]) * below[-1], below, grid), dtype=np.float64)
