"""What several wearers say together of two configurations, those with "at least" readings among them."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from builder.fit.compare.contrasts import Contrast, more_donnings_each
from builder.fit.compare.limited_pooling import pool_with_limits
from builder.fit.compare.limits import LimitedDifference
from builder.fit.compare.pooling import Pooled, bayes_pool
from builder.fit.compare.verdicts import UNKNOWN, Bound, Judgement, judge


def over_wearers(
    contrasts: Sequence[Contrast], limited: Sequence[LimitedDifference | None]
) -> tuple[Judgement, Pooled | None, tuple[Contrast, ...]]:
    """The verdict over wearers, the pooled posterior from two wearers on, and the contrasts it rests on.

    `limited` holds, beside each contrast with an "at least" reading, what its readings are, and None beside the others.
    Wearers without an exact reading on either side say nothing. The ratio is a limit only where every wearer's is, all
    in one direction; nothing but the prior then bounds it on the other side, which stays open.
    """
    telling = [(c, one) for c, one in zip(contrasts, limited, strict=True) if one is None or one.bound != "both"]
    rests_on = tuple(c for c, _ in telling)
    if not telling:
        return UNKNOWN, None, ()
    if len(telling) == 1:
        return rests_on[0].judgement, None, rests_on
    exact = [c for c, one in telling if one is None]
    with_limits = [one for _, one in telling if one is not None]
    effects, variances = [c.estimate for c in exact], [c.variance for c in exact]
    pooled = pool_with_limits(effects, variances, with_limits) if with_limits else bayes_pool(effects, variances)
    above = pooled.mean.above(0.0)
    bound = shared_bound(exact=bool(exact), limited=with_limits)
    centre = pooled.mean.mean if bound == "none" else _limit(telling, pooled, bound)
    judgement = judge(centre, pooled.mean.interval, 2 * min(above, 1 - above), bound)
    if judgement.verdict == "cannot-tell" and not with_limits:
        judgement = replace(judgement, donnings_needed=more_donnings_each(rests_on, pooled.tau))
    return judgement, pooled, rests_on


def shared_bound(*, exact: bool, limited: Sequence[LimitedDifference]) -> Bound:
    """Whether wearers together bound a difference on both sides ("none") or only on one."""
    bounds = {one.bound for one in limited}
    return bounds.pop() if not exact and len(bounds) == 1 else "none"


def _limit(telling: Sequence[tuple[Contrast, LimitedDifference | None]], pooled: Pooled, bound: Bound) -> float:
    """The limit that the mean is at least (or at most): that of the limits at their values, or a stricter one.

    Many wearers beyond their limits make the mean itself beyond theirs: then it is the 95 % limit of the posterior.
    """
    at_limits = bayes_pool([c.estimate for c, _ in telling], [c.variance for c, _ in telling]).mean.mean
    within = pooled.mean.interval(0.90)
    return float(np.maximum(at_limits, within.low) if bound == "at_least" else np.minimum(at_limits, within.high))
