"""Two configurations against each other on one wearer, like with like.

The ratio is that of the geometric mean fit factors, B over A.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Literal

import numpy as np
from scipy.special import ndtri, stdtr, stdtrit

from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.like_with_like import LikeWithLike, MethodArm, like_with_like
from builder.fit.compare.methods import Method, MethodEffects
from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.compare.power import more_donnings
from builder.fit.compare.verdicts import UNKNOWN, Bound, Judgement, judge
from builder.fit.intervals import Interval
from builder.fit.levels import DOUBLING, LIKELY_LEVEL, MOST_ADDED_DONNINGS, WANTED_POWER, tails

MethodWord = Literal["same", "mixed"]
"""Whether both sides were measured by one method, or the difference between methods had to be taken out."""

LIMIT_POINTS = 400
"""Steps of the likelihood whose mean and variance stand for a wearer with limits."""


@dataclass(frozen=True, kw_only=True)
class Contrast(Judgement):
    """Two configurations on one wearer: `estimate` of ln(B/A), its sampling `variance`, Student's t with `df`.

    `n_a` and `n_b` donnings by the methods it rests on; `gsd` is the moderated scatter of one. The variance holds what
    is not known of methods where `method` is "mixed".
    """

    wearer: str
    facial_hair: str
    n_a: int
    n_b: int
    method: MethodWord
    estimate: float
    variance: float
    df: float
    gsd: float

    @property
    def judgement(self) -> Judgement:
        """What the contrast says, without the wearer."""
        return Judgement(**{field.name: getattr(self, field.name) for field in fields(Judgement)})

    @property
    def alike(self) -> tuple[int, int]:
        """Donnings of each side to which more could be added: none where only another method measured the other."""
        return (self.n_a, self.n_b) if self.method == "same" else (0, 0)


@dataclass(frozen=True)
class Told:
    """What one wearer tells: the contrast, and `limited` where it holds "at least" readings.

    `shared` are entries of errors that contrasts between methods have in common; they are in the contrast's variance.
    `like` is what was taken out between methods; None where limits on both sides leave nothing to tell.
    """

    contrast: Contrast
    limited: JointDifference | None = None
    shared: tuple[float, ...] = ()
    like: LikeWithLike | None = None

    @property
    def variance(self) -> float:
        """That of the contrast without what it shares."""
        return self.contrast.variance - sum(part * part for part in self.shared)


def told_by(
    a: Sequence[MethodArm],
    b: Sequence[MethodArm],
    scatter: NestedScatter,
    effects: MethodEffects,
    *,
    wearer: str = "",
    facial_hair: str = "none",
) -> Told:
    """What one wearer's arms of A and of B, a method each, tell of the two."""
    like = like_with_like(a, b, wearer, scatter, effects)
    if like is None:
        return _nothing(a, b, wearer, facial_hair)
    joint = like.difference
    donnings_a, donnings_b = (_donnings(arms, {pair[side] for pair in like.methods}) for side, arms in ((0, a), (1, b)))
    one_donning = 1 / donnings_a + 1 / donnings_b
    if joint.exact:
        variance, df = like.total
        estimate, bound = joint.estimate, joint.bound
        gsd = math.exp(math.sqrt((joint.variance - like.adjustment.own) / one_donning))
    else:
        # How far the wearer's own donnings scatter is all that is known of an arm with limits.
        df = min(like.df, float(scatter.of([wearer])[1][0]))
        estimate, variance, bound = *_middle(joint), joint.bound
        gsd = math.exp(math.sqrt(max(joint.narrowest**2 - like.adjustment.own, 0.0) / one_donning))
    contrast = Contrast(
        **vars(judge_student(estimate, variance, df, bound)),
        wearer=wearer,
        facial_hair=facial_hair,
        n_a=donnings_a,
        n_b=donnings_b,
        method="same" if like.alike else "mixed",
        estimate=estimate,
        variance=variance,
        df=df,
        gsd=gsd,
    )
    if joint.exact and contrast.verdict == "cannot-tell":
        contrast = replace(
            contrast,
            donnings_needed=more_donnings(DOUBLING, gsd, *contrast.alike, like.df),
            donnings_for_seen=more_donnings(math.exp(estimate), gsd, *contrast.alike, like.df) if estimate else None,
        )
    return Told(contrast, None if joint.exact else joint, like.shared if joint.exact else (), like)


def judge_student(estimate: float, variance: float, df: float, bound: Bound) -> Judgement:
    """Judge a difference of ln FF, B − A, by Student's t."""
    se = math.sqrt(variance)

    def interval(level: float) -> Interval:
        half = float(stdtrit(df, (1 + level) / 2)) * se
        return Interval(estimate - half, estimate + half)

    return judge(estimate, interval, 2 * float(stdtr(df, -abs(estimate) / se)), bound)


def more_donnings_each(contrasts: Sequence[Contrast], tau: float, effect: float = math.log(DOUBLING)) -> int | None:
    """Donnings each wearer must add to each side for an effect (ln, a doubling) to show as "likely" with 80 % power.

    None where the spread between wearers is in the way: then more wearers help, not more donnings. A wearer measured
    by different methods is taken to begin anew, by one.
    """
    n_a, n_b = np.array([c.alike for c in contrasts], dtype=np.float64).T
    one_donning = np.array([math.log(c.gsd) ** 2 for c in contrasts])
    more = np.arange(MOST_ADDED_DONNINGS + 1)[:, None]
    with np.errstate(divide="ignore"):
        precision = (1 / (one_donning * (1 / (n_a + more) + 1 / (n_b + more)) + tau**2)).sum(axis=1)
    enough = np.sqrt(precision) * effect >= ndtri(tails(LIKELY_LEVEL)[1]) + ndtri(WANTED_POWER)
    return int(np.argmax(enough)) if enough.any() else None


def _middle(joint: JointDifference) -> tuple[float, float]:
    """What stands for a difference with limits by itself: mean and variance of its likelihood.

    Where it is bounded on one side only, the limits at their values.
    """
    if joint.bound != "none":
        return joint.middle, joint.narrowest**2
    low, high = joint.ends
    plain, extra = joint.without_extra()
    grid = np.linspace(low, high, LIMIT_POINTS)
    log = plain.log_likelihood(grid)
    weights = np.exp(log - log.max())
    weights /= weights.sum()
    mean = float(weights @ grid)
    return mean, float(weights @ (grid - mean) ** 2) + extra


def _nothing(a: Sequence[MethodArm], b: Sequence[MethodArm], wearer: str, facial_hair: str) -> Told:
    """A wearer with limits alone."""
    alike = {arm.method for arm in a} & {arm.method for arm in b}
    contrast = Contrast(
        **vars(UNKNOWN),
        wearer=wearer,
        facial_hair=facial_hair,
        n_a=_donnings(a, {arm.method for arm in a}),
        n_b=_donnings(b, {arm.method for arm in b}),
        method="same" if alike else "mixed",
        estimate=0.0,
        variance=math.inf,
        df=math.inf,
        gsd=math.inf,
    )
    return Told(contrast, JointDifference(0.0, math.inf))


def _donnings(arms: Sequence[MethodArm], used: set[Method]) -> int:
    return sum(arm.donnings for arm in arms if arm.method in used)
