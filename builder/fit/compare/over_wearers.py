"""What several wearers say together of two configurations, those with "at least" readings among them."""

from collections.abc import Sequence
from dataclasses import replace

from builder.fit.compare.contrasts import Contrast, Told, more_donnings_each
from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.limited_pooling import pool_with_limits
from builder.fit.compare.pooling import Pooled, bayes_pool
from builder.fit.compare.verdicts import UNKNOWN, Bound, Judgement, judge
from builder.fit.levels import LIKELY_LEVEL


def over_wearers(wearers: Sequence[Told]) -> tuple[Judgement, Pooled | None, tuple[Contrast, ...]]:
    """The verdict over wearers, the pooled posterior from two wearers on, and the contrasts it rests on.

    Wearers without an exact reading on either side say nothing. The ratio is a limit only where every wearer's is, all
    in one direction; nothing but the prior then bounds it on the other side, which stays open.
    """
    telling = [one for one in wearers if one.limited is None or one.limited.bound != "both"]
    rests_on = tuple(one.contrast for one in telling)
    if not telling:
        return UNKNOWN, None, ()
    if len(telling) == 1:
        return rests_on[0].judgement, None, rests_on
    exact = [one for one in telling if one.limited is None]
    limited = [one.limited for one in telling if one.limited is not None]
    pooled = _pooled(exact, limited)
    above = pooled.mean.above(0.0)
    bounds = {"none" if one.limited is None else one.limited.bound for one in telling}
    bound: Bound = telling[0].limited.bound if telling[0].limited and len(bounds) == 1 else "none"
    centre = pooled.mean.mean if bound == "none" else _limit(telling, pooled, bound)
    judgement = judge(centre, pooled.mean.interval, 2 * min(above, 1 - above), bound)
    if judgement.verdict == "cannot-tell" and not limited:
        judgement = replace(
            judgement,
            donnings_needed=more_donnings_each(rests_on, pooled.tau),
            donnings_for_seen=more_donnings_each(rests_on, pooled.tau, abs(pooled.mean.mean)),
        )
    return judgement, pooled, rests_on


def _pooled(exact: Sequence[Told], limited: Sequence[JointDifference]) -> Pooled:
    effects = [one.contrast.estimate for one in exact]
    errors = max((len(one.shared) for one in exact), default=0)
    if not limited and not errors:
        return bayes_pool(effects, [one.variance for one in exact])
    shared = [[*one.shared, *[0.0] * (errors - len(one.shared))] for one in exact]
    return pool_with_limits(effects, [one.variance for one in exact], limited, shared if shared else None)


def _limit(telling: Sequence[Told], pooled: Pooled, bound: Bound) -> float:
    """The limit that the mean is at least (or at most): that of the limits at their values, or a stricter one.

    Many wearers beyond their limits put the mean itself beyond theirs: then it is the end of the interval that a likely
    verdict goes by.
    """
    contrasts = [one.contrast for one in telling]
    at_limits = bayes_pool([c.estimate for c in contrasts], [c.variance for c in contrasts]).mean.mean
    within = pooled.mean.interval(LIKELY_LEVEL)
    return max(at_limits, within.low) if bound == "at_least" else min(at_limits, within.high)
