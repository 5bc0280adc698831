"""Two configurations against each other over all wearers, like with like."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtri

from builder.fit.arrays import FloatArray
from builder.fit.compare.contrasts import Contrast, Told, judge_student, told_by
from builder.fit.compare.like_with_like import MethodArm, mean_of
from builder.fit.compare.measured_arms import MeasuredArms, WornBy
from builder.fit.compare.methods import Method, MethodEffects
from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.compare.over_wearers import over_wearers
from builder.fit.compare.verdicts import Bound, Judgement
from builder.fit.levels import LIKELY_LEVEL, SHOWN_LEVEL, tails

FACE_SD = 0.96
"""Planning SD of one configuration's mean ln FF between wearers (a GSD of 2.6); no published source."""

FACE_DF = 4.0

Arms = Mapping[WornBy, Sequence[MethodArm]]
"""The arms of one configuration by face, a method each."""


@dataclass(frozen=True)
class MethodAdjustment:
    """What was taken out where B was measured by another method than A: how many times as high B's reads on average.

    With its 90 % interval.
    """

    factor: float
    low90: float
    high90: float


@dataclass(frozen=True, kw_only=True)
class Comparison(Judgement):
    """Two configurations over all wearers.

    `wearers` holds a contrast for each who tried both, `n_a` and `n_b` the donnings the ratio rests on.
    `pooled` of them are pooled; from two on, `predict_low95` and `predict_high95` bound the ratio on a new face
    and `tau` is the spread between wearers (ln). `same_wearers` is false where no wearer tried both: then the ratio
    also holds the differences between faces, and the verdict is "clear" or "cannot-tell". `scatter_gsd` and
    `scatter_df` are those of a wearer without repeats. `wearers_same_method` of those who tried both were measured by
    one method in both, `wearers_mixed_method` were not; `method_adjustment` was taken out for these.
    """

    a: str
    b: str
    wearers: tuple[Contrast, ...]
    pooled: int
    only_a: int
    only_b: int
    same_wearers: bool
    n_a: int
    n_b: int
    predict_low95: float | None = None
    predict_high95: float | None = None
    tau: float | None = None
    scatter_gsd: float
    scatter_df: float
    wearers_same_method: int
    wearers_mixed_method: int
    method_adjustment: MethodAdjustment | None


def compare(measured: MeasuredArms, a: str, b: str, *, wearer: str | None = None) -> Comparison:
    """Configurations `a` and `b` over all wearers, or the named one alone.

    ValueError where one has no test that counts.
    """
    arms_a, arms_b = (_of(measured, configuration, wearer) for configuration in (a, b))
    if not arms_a or not arms_b:
        raise ValueError(f"{b if arms_a else a} has no test that counts")
    scatter, effects = measured.scatter, measured.effects
    told = [
        told_by(own, arms_b[face], scatter, effects, wearer=face.wearer, facial_hair=face.facial_hair)
        for face, own in arms_a.items()
        if face in arms_b
    ]
    wearers = tuple(one.contrast for one in told)
    if told:
        judgement, pooled, rests_on = over_wearers(told)
        adjustment = _adjustment(told)
        n_a, n_b = sum(c.n_a for c in rests_on), sum(c.n_b for c in rests_on)
    else:
        judgement, adjustment = _across_faces(arms_a, arms_b, scatter, effects)
        pooled, rests_on = None, ()
        n_a, n_b = (sum(arm.donnings for own in arms.values() for arm in own) for arms in (arms_a, arms_b))
    predicted = pooled.new.interval(SHOWN_LEVEL) if pooled else None
    mixed = {c.wearer for c in wearers if c.method == "mixed"}
    everyone = {c.wearer for c in wearers}
    return Comparison(
        **vars(judgement),
        a=a,
        b=b,
        wearers=wearers,
        pooled=len(rests_on),
        only_a=len({face.wearer for face in arms_a} - everyone),
        only_b=len({face.wearer for face in arms_b} - everyone),
        same_wearers=bool(wearers),
        n_a=n_a,
        n_b=n_b,
        predict_low95=math.exp(predicted.low) if predicted and judgement.bound != "at_most" else None,
        predict_high95=math.exp(predicted.high) if predicted and judgement.bound != "at_least" else None,
        tau=pooled.tau if pooled else None,
        scatter_gsd=scatter.gsd,
        scatter_df=scatter.stranger.df,
        wearers_same_method=len(everyone - mixed),
        wearers_mixed_method=len(mixed),
        method_adjustment=adjustment,
    )


def _of(measured: MeasuredArms, configuration: str, wearer: str | None) -> Arms:
    arms = measured.by_configuration.get(configuration, {})
    return arms if wearer is None else {face: own for face, own in arms.items() if face.wearer == wearer}


def _adjustment(told: Sequence[Told]) -> MethodAdjustment | None:
    """The average of what was taken out of each wearer's contrast between methods."""
    mixed = [one.like.adjustment for one in told if one.like is not None and not one.like.alike]
    if not mixed:
        return None
    k = len(mixed)
    errors = max(len(one.loading) for one in mixed)
    loadings = np.array([[*one.loading, *[0.0] * (errors - len(one.loading))] for one in mixed])
    return _factor(sum(one.estimate for one in mixed) / k, loadings.mean(axis=0), sum(one.own for one in mixed) / k**2)


def _factor(estimate: float, loading: FloatArray, own: float) -> MethodAdjustment:
    half = float(ndtri(tails(LIKELY_LEVEL)[1])) * math.sqrt(float(loading @ loading) + own)
    return MethodAdjustment(math.exp(estimate), math.exp(estimate - half), math.exp(estimate + half))


def _across_faces(
    arms_a: Arms, arms_b: Arms, scatter: NestedScatter, effects: MethodEffects
) -> tuple[Judgement, MethodAdjustment | None]:
    """Wearers' means of A against those of other wearers of B; the scatter is that between faces.

    Their own variance is moderated towards the planning value, so that one wearer a side has an interval too. What the
    methods of the two sides differ by on average is taken out.
    """
    a, b = _Side.of(arms_a), _Side.of(arms_b)
    df = FACE_DF + a.df + b.df
    planned = FACE_DF * (FACE_SD**2 + scatter.stranger.variance)
    one_face = (planned + a.squares + b.squares) / df
    adjustment = effects.between(a.methods, b.methods)
    differs = any(adjustment.loading)
    estimate = b.mean - a.mean - adjustment.estimate
    donnings = one_face * (1 / a.n + 1 / b.n)
    variance = donnings + adjustment.variance
    bound: Bound = _BOUNDS[a.limited, b.limited]
    judgement = judge_student(estimate, variance, df * (variance / donnings) ** 2, bound)
    taken = _factor(adjustment.estimate, np.array(adjustment.loading), 0.0) if differs else None
    if judgement.verdict == "clear":
        return judgement, taken
    return replace(judgement, verdict="cannot-tell", direction="none"), taken


_BOUNDS: dict[tuple[bool, bool], Bound] = {
    (False, False): "none",
    (False, True): "at_least",
    (True, False): "at_most",
    (True, True): "both",
}


@dataclass(frozen=True)
class _Side:
    """The wearers of one configuration: their mean, the squares about it with `df`, and the share of each method.

    Limits are taken at their values; with one among them the squares say nothing.
    """

    n: int
    mean: float
    squares: float
    df: int
    limited: bool
    methods: Mapping[Method, float]

    @classmethod
    def of(cls, arms: Arms) -> "_Side":
        """The side of some faces."""
        means = [mean_of(own) for own in arms.values()]
        mean = math.fsum(means) / len(means)
        limited = any(not arm.exact for own in arms.values() for arm in own)
        squares = 0.0 if limited else math.fsum((one - mean) ** 2 for one in means)
        methods: dict[Method, float] = {}
        for own in arms.values():
            donnings = sum(arm.donnings for arm in own)
            for arm in own:
                methods[arm.method] = methods.get(arm.method, 0.0) + arm.donnings / donnings / len(arms)
        return cls(len(means), mean, squares, 0 if limited else len(means) - 1, limited, methods)
