"""Two configurations on one wearer who was measured by several methods: like with like where that is possible.

Where both were measured by the same method, those tests alone carry the comparison, each method by itself and the
methods together weighed by what they tell. Otherwise the pair of methods with the least variance is taken, and what is
known of their difference is taken out, with its uncertainty.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.limits import LimitedArm, LimitedDifference
from builder.fit.compare.methods import Adjustment, Method, MethodEffects
from builder.fit.compare.nested_scatter import NestedScatter

SAME = Adjustment(0.0, (), 0.0)


@dataclass(frozen=True)
class MethodArm:
    """Readings of one arm by one method, their one-donning variance moderated; `df` of the arm's own variance."""

    method: Method
    readings: LimitedArm
    df: float

    @property
    def exact(self) -> bool:
        """Whether no reading is "at least"."""
        return not self.readings.limits

    @property
    def donnings(self) -> int:
        """How many readings there are."""
        return self.readings.n + len(self.readings.limits)

    @property
    def error(self) -> float:
        """Variance of the mean of an exact arm."""
        return self.readings.variance / self.readings.n


def mean_of(arms: Sequence[MethodArm]) -> float:
    """Mean ln FF of all donnings of some arms, limits at their values."""
    return sum(arm.donnings * arm.readings.middle for arm in arms) / sum(arm.donnings for arm in arms)


@dataclass(frozen=True)
class LikeWithLike:
    """B − A on ln FF of one wearer.

    `difference` holds what tells it, its variance without `shared`: the loading of what all contrasts between methods
    share, empty where both sides were measured alike. `df` are those of the donnings, `methods` pairs of A's and B's,
    and `adjustment` what was taken out.
    """

    difference: JointDifference
    df: float
    methods: tuple[tuple[Method, Method], ...]
    adjustment: Adjustment

    @property
    def alike(self) -> bool:
        """Whether both sides were measured by the same methods."""
        return all(a == b for a, b in self.methods)

    @property
    def shared(self) -> tuple[float, ...]:
        """Entries that multiply the errors common to all contrasts between methods."""
        return self.adjustment.loading

    @property
    def total(self) -> tuple[float, float]:
        """Variance of an exact difference with that of methods, and its degrees of freedom: for a verdict by itself."""
        donnings = self.difference.variance - self.adjustment.own
        total = donnings + self.adjustment.variance
        return total, self.df * (total / donnings) ** 2


def like_with_like(
    a: Sequence[MethodArm], b: Sequence[MethodArm], wearer: str, scatter: NestedScatter, effects: MethodEffects
) -> LikeWithLike | None:
    """Compare the arms of one wearer, a method each; None where limits on both sides leave nothing to tell."""
    common = [(x, y) for x in a for y in b if x.method == y.method and (x.readings.n or y.readings.n)]
    if common:
        return _same(common, wearer, scatter)
    exact = [(x, y) for x in a for y in b if x.exact and y.exact]
    telling = exact or [(x, y) for x in a for y in b if x.readings.n or y.readings.n]
    if not telling:
        return None
    adjusted = [(pair, effects.adjustment(pair[0].method, pair[1].method)) for pair in telling]
    (x, y), adjustment = min(adjusted, key=lambda found: _cost(*found))
    methods = ((x.method, y.method),)
    if not exact:
        # What methods share is taken for the wearer's own here: a limit has no loading.
        limited = LimitedDifference(x.readings, y.readings, -adjustment.estimate, adjustment.variance)
        alone = replace(adjustment, loading=(0.0,) * len(adjustment.loading), own=adjustment.variance)
        return LikeWithLike(JointDifference(0.0, np.inf, (limited,)), np.inf, methods, alone)
    plain = _same([(x, y)], wearer, scatter)
    difference = JointDifference(
        plain.difference.estimate - adjustment.estimate, plain.difference.variance + adjustment.own
    )
    return LikeWithLike(difference, plain.df, methods, adjustment)


def _cost(pair: tuple[MethodArm, MethodArm], adjustment: Adjustment) -> tuple[float, Method, Method]:
    """What the least uncertain pair has least of; the order of methods breaks ties."""
    errors = [arm.readings.variance / arm.donnings for arm in pair]
    return sum(errors) + adjustment.variance, pair[0].method, pair[1].method


def _same(pairs: Sequence[tuple[MethodArm, MethodArm]], wearer: str, scatter: NestedScatter) -> LikeWithLike:
    """Pairs of arms together, as they were read."""
    exact = [(x, y) for x, y in pairs if x.exact and y.exact]
    limited = tuple(LimitedDifference(x.readings, y.readings) for x, y in pairs if not (x.exact and y.exact))
    methods = tuple((x.method, y.method) for x, y in pairs)
    if not exact:
        return LikeWithLike(JointDifference(0.0, np.inf, limited), np.inf, methods, SAME)
    weights = np.array([1 / (x.error + y.error) for x, y in exact])
    weights /= weights.sum()
    estimates = np.array([y.readings.mean - x.readings.mean for x, y in exact])
    parts = np.array([[x.error, y.error] for x, y in exact]) * weights[:, None] ** 2
    df = np.array([[x.df, y.df] for x, y in exact])
    shares = (parts / parts.sum()).reshape(-1, 1)
    degrees = scatter.degrees(shares, df.reshape(-1, 1), [wearer])
    difference = JointDifference(float(weights @ estimates), float(parts.sum()), limited)
    return LikeWithLike(difference, float(degrees[0]), methods, SAME)
