"""Two configurations against each other: on one wearer, and over all wearers.

The ratio is that of the geometric mean fit factors, B over A.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
import pandas as pd
from scipy.special import ndtri, stdtr, stdtrit

from builder.fit.compare.arms import Arm, arm_statistics, bound_of, difference
from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.compare.pooling import Pooled, bayes_pool
from builder.fit.compare.power import more_donnings
from builder.fit.compare.verdicts import UNKNOWN, Bound, Judgement, judge
from builder.fit.intervals import Interval
from builder.fit.levels import DOUBLING, LIKELY_LEVEL, MOST_ADDED_DONNINGS, SHOWN_LEVEL, WANTED_POWER, tails

FACE_SD = 0.96
"""Planning SD of one configuration's mean ln FF between wearers (a GSD of 2.6); no published source."""

FACE_DF = 4.0


@dataclass(frozen=True, kw_only=True)
class Contrast(Judgement):
    """Two configurations on one wearer: `estimate` of ln(B/A), its sampling `variance`, Student's t with `df`.

    `n_a` and `n_b` donnings; `gsd` is the moderated scatter the interval rests on.
    """

    wearer: str
    facial_hair: str
    n_a: int
    n_b: int
    estimate: float
    variance: float
    df: float
    gsd: float

    @property
    def judgement(self) -> Judgement:
        """What the contrast says, without the wearer."""
        return Judgement(**{field.name: getattr(self, field.name) for field in fields(Judgement)})


@dataclass(frozen=True, kw_only=True)
class Comparison(Judgement):
    """Two configurations over all wearers.

    `wearers` holds a contrast for each who tried both, `n_a` and `n_b` the donnings the ratio rests on.
    `pooled` of them are pooled; from two on, `predict_low95` and `predict_high95` bound the ratio on a new face
    and `tau` is the spread between wearers (ln). `same_wearers` is false where no wearer tried both: then the ratio
    also holds the differences between faces, and the verdict is "clear" or "cannot-tell". `scatter_gsd` and
    `scatter_df` are those of a wearer without repeats.
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


def contrast(a: Arm, b: Arm, scatter: NestedScatter) -> Contrast:
    """Two arms of one unnamed wearer, each of one or more donnings.

    One side with an "at least" reading: the ratio is a limit. Both: cannot tell.
    """
    return contrasts(a, b, scatter, [""], [""])[0]


def contrasts(
    a: Arm, b: Arm, scatter: NestedScatter, wearers: Sequence[str], facial_hair: Sequence[str]
) -> tuple[Contrast, ...]:
    """The same for many wearers at once: arms of one length, beside the wearers' names."""
    found = difference(a, b, scatter, wearers)
    return tuple(
        _contrast(*figures, wearer=wearer, facial_hair=hair)
        for *figures, wearer, hair in zip(
            found.estimate.tolist(),
            found.variance.tolist(),
            np.broadcast_to(found.df, found.estimate.shape).tolist(),
            np.exp(np.sqrt(found.moderated)).tolist(),
            found.bound.tolist(),
            a.n.tolist(),
            b.n.tolist(),
            wearers,
            facial_hair,
            strict=True,
        )
    )


def _contrast(  # noqa: PLR0917
    estimate: float,
    variance: float,
    df: float,
    gsd: float,
    bound: Bound,
    donnings_a: float,
    donnings_b: float,
    *,
    wearer: str,
    facial_hair: str,
) -> Contrast:
    n_a, n_b = int(donnings_a), int(donnings_b)
    judgement = judge_student(estimate, variance, df, bound)
    if bound == "none" and judgement.verdict == "cannot-tell":
        judgement = replace(
            judgement,
            donnings_needed=more_donnings(DOUBLING, gsd, n_a, n_b, df),
            donnings_for_seen=more_donnings(math.exp(estimate), gsd, n_a, n_b, df) if estimate else None,
        )
    return Contrast(
        **vars(judgement),
        wearer=wearer,
        facial_hair=facial_hair,
        n_a=n_a,
        n_b=n_b,
        estimate=estimate,
        variance=variance,
        df=df,
        gsd=gsd,
    )


def judge_student(estimate: float, variance: float, df: float, bound: Bound) -> Judgement:
    """Judge a difference of ln FF, B − A, by Student's t."""
    se = math.sqrt(variance)

    def interval(level: float) -> Interval:
        half = float(stdtrit(df, (1 + level) / 2)) * se
        return Interval(estimate - half, estimate + half)

    return judge(estimate, interval, 2 * float(stdtr(df, -abs(estimate) / se)), bound)


def compare(table: pd.DataFrame, a: str, b: str, scatter: NestedScatter) -> Comparison:
    """Configurations `a` and `b` over all wearers of a tidy table; ValueError where one has no test that counts."""
    arms = arm_statistics(table[table["configuration"].isin([a, b])], scatter)
    arms_a, arms_b = arms[arms["configuration"] == a], arms[arms["configuration"] == b]
    if arms_a.empty or arms_b.empty:
        raise ValueError(f"{a if arms_a.empty else b} has no test that counts")
    return compare_arms(arms_a, arms_b, scatter)


def compare_arms(arms_a: pd.DataFrame, arms_b: pd.DataFrame, scatter: NestedScatter) -> Comparison:
    """The same from the rows of `arm_statistics` of each configuration, for many comparisons of one table."""
    # A merge would cost more than all the rest where many pairs are compared.
    in_b = {key: row for row, key in enumerate(_faces(arms_b))}
    both = [(row, in_b[key], key) for row, key in enumerate(_faces(arms_a)) if key in in_b]
    wearers = contrasts(
        Arm.columns(arms_a).take([row for row, _, _ in both]),
        Arm.columns(arms_b).take([row for _, row, _ in both]),
        scatter,
        [wearer for _, _, (wearer, _) in both],
        [hair for _, _, (_, hair) in both],
    )
    if wearers:
        judgement, pooled, rests_on = _over_wearers(wearers)
        n_a, n_b = sum(c.n_a for c in rests_on), sum(c.n_b for c in rests_on)
    else:
        judgement, pooled, rests_on = _across_faces(arms_a, arms_b, scatter), None, ()
        n_a, n_b = int(arms_a["n"].sum()), int(arms_b["n"].sum())
    predicted = pooled.new.interval(SHOWN_LEVEL) if pooled else None
    return Comparison(
        **vars(judgement),
        a=str(arms_a["configuration"].iloc[0]),
        b=str(arms_b["configuration"].iloc[0]),
        wearers=wearers,
        pooled=len(rests_on),
        only_a=_others(arms_a, wearers),
        only_b=_others(arms_b, wearers),
        same_wearers=bool(wearers),
        n_a=n_a,
        n_b=n_b,
        predict_low95=math.exp(predicted.low) if predicted and judgement.bound != "at_most" else None,
        predict_high95=math.exp(predicted.high) if predicted and judgement.bound != "at_least" else None,
        tau=pooled.tau if pooled else None,
        scatter_gsd=scatter.gsd,
        scatter_df=scatter.stranger.df,
    )


def _faces(arms: pd.DataFrame) -> list[tuple[str, str]]:
    """Whose arms they are: tests with other facial hair are those of another face."""
    return list(zip(arms["wearer"].tolist(), arms["facial_hair"].tolist(), strict=True))


def _over_wearers(wearers: tuple[Contrast, ...]) -> tuple[Judgement, Pooled | None, tuple[Contrast, ...]]:
    """What several wearers say together, with the contrasts it rests on.

    Limits all in one direction are pooled at their values, so that the mean is a limit in that direction: leaving
    them out would leave out the wearers on whom the difference is largest. Limits in both directions, or both
    sides limits on every wearer, say nothing.
    """
    rests_on = tuple(c for c in wearers if c.bound != "both")
    limits = {c.bound for c in rests_on} - {"none"}
    if not rests_on or len(limits) == 2:
        return UNKNOWN, None, ()
    if len(rests_on) == 1:
        return (
            rests_on[0].judgement,
            None,
            rests_on,
        )
    pooled = bayes_pool([c.estimate for c in rests_on], [c.variance for c in rests_on])
    above = pooled.mean.above(0.0)
    bound: Bound = limits.pop() if limits else "none"
    judgement = judge(pooled.mean.mean, pooled.mean.interval, 2 * min(above, 1 - above), bound)
    if bound == "none" and judgement.verdict == "cannot-tell":
        judgement = replace(
            judgement,
            donnings_needed=more_donnings_each(rests_on, pooled.tau),
            donnings_for_seen=more_donnings_each(rests_on, pooled.tau, abs(pooled.mean.mean)),
        )
    return judgement, pooled, rests_on


def more_donnings_each(contrasts: tuple[Contrast, ...], tau: float, effect: float = math.log(DOUBLING)) -> int | None:
    """Donnings each wearer must add to each side for an effect (ln, a doubling) to show as "likely" with 80 % power.

    None where the spread between wearers is in the way: then more wearers help, not more donnings.
    """
    n_a, n_b = np.array([c.n_a for c in contrasts]), np.array([c.n_b for c in contrasts])
    one_donning = np.array([math.log(c.gsd) ** 2 for c in contrasts])
    more = np.arange(MOST_ADDED_DONNINGS + 1)[:, None]
    precision = (1 / (one_donning * (1 / (n_a + more) + 1 / (n_b + more)) + tau**2)).sum(axis=1)
    enough = np.sqrt(precision) * effect >= ndtri(tails(LIKELY_LEVEL)[1]) + ndtri(WANTED_POWER)
    return int(np.argmax(enough)) if enough.any() else None


def _across_faces(arms_a: pd.DataFrame, arms_b: pd.DataFrame, scatter: NestedScatter) -> Judgement:
    """Wearers' means of A against those of other wearers of B; the scatter is that between faces.

    Their own variance is moderated towards the planning value, so that one wearer a side has an interval too.
    """
    a, b = (Arm.of(arms["mean"], arms["any_at_least"]) for arms in (arms_a, arms_b))
    own_df = a.df + b.df
    df = FACE_DF + own_df
    planned = FACE_DF * (FACE_SD**2 + scatter.stranger.variance)
    one_face = (planned + a.df * a.variance + b.df * b.variance) / df
    variance = one_face * (1 / a.n + 1 / b.n)
    judgement = judge_student(float(b.mean[0] - a.mean[0]), float(variance[0]), float(df[0]), bound_of(a, b)[0])
    if judgement.verdict == "clear":
        return judgement
    return replace(judgement, verdict="cannot-tell", direction="none")


def _others(arms: pd.DataFrame, wearers: tuple[Contrast, ...]) -> int:
    return len(set(arms["wearer"]) - {c.wearer for c in wearers})
