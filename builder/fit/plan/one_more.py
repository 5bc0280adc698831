"""Is one more donning worth it? The chance that it changes the verdict on two configurations of one wearer.

What a further donning will read is predicted from the donnings so far, under a flat prior on the arm's level: with n of
them, mean ȳ and the moderated variance ṽ of one donning (`nested_scatter`),

    (y − ȳ) / √(ṽ (1 + 1/n)) ~ Student's t with ν degrees of freedom,   1/ν = 1/(d₁ + d) + (d₁ / (d₁ + d))² / t_w.

Each y leads to one verdict, as `contrasts` gives it with y among the donnings, the scatter of the database as it is. So
the verdict is a step function of y, and the chance is a sum of differences of the t distribution at its steps: exact
but for the steps' places, which are halved down to 2⁻²⁴ of the grid. One more donning of each arm is the same, averaged
over what A will read: 60 strips of the grid, each at its middle, with the chance of the strip for weight.

With the scatter known for sure and a verdict for any p below a limit this is the predictive power of
D. J. Spiegelhalter, L. S. Freedman and P. R. Blackburn (Control. Clin. Trials 1986;7:8–17).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtr

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.nested_scatter import WearerScatter
from builder.fit.compare.power import more_donnings
from builder.fit.compare.verdicts import Direction, VerdictWord
from builder.fit.levels import ALIKE_RATIO, CLEAR_LEVEL, LIKELY_LEVEL, beyond, tails

Side = Literal["a", "b", "each"]
"""Which arm the further donning is of."""

OUTCOMES: tuple[tuple[VerdictWord, Direction], ...] = (
    ("clear", "b-higher"),
    ("likely", "b-higher"),
    ("alike", "none"),
    ("cannot-tell", "none"),
    ("likely", "a-higher"),
    ("clear", "a-higher"),
)
"""The verdicts that exact readings can come to."""

REACH = 7.0
STEPS = 120
"""The grid that steps are looked for on: sinh of so many even strips from −REACH to REACH, in predicted scales."""
HALVINGS = 24


@dataclass(frozen=True)
class ExactTakes:
    """Donnings of one arm by one method: how many, their mean ln FF and own variance (anything where n is 1)."""

    n: int
    mean: float
    variance: float

    @classmethod
    def of(cls, fit_factors: Sequence[float]) -> ExactTakes:
        """Some exact fit factors, one or more."""
        y = np.log(np.asarray(fit_factors, dtype=np.float64))
        return cls(len(y), float(y.mean()), float(y.var(ddof=1)) if len(y) > 1 else 0.0)


@dataclass(frozen=True)
class OneMore:
    """What one more donning of `side` is likely to do to the verdict.

    `now` is the verdict with its direction, `outcomes` the chance of each of `OUTCOMES` afterwards, and `chance` that
    of any but the one there is.
    """

    side: Side
    now: tuple[VerdictWord, Direction]
    outcomes: tuple[float, ...]
    chance: float


@dataclass(frozen=True)
class WorthIt:
    """One more donning of either arm and of each; `fewer` is the side to add to first, the changed one where even.

    `for_seen` donnings added to each side tell a ratio as large as the one seen as "likely" with 80 % power: 0 where
    those there are would have, None where more than 200 would be needed or nothing differs.
    """

    a: OneMore
    b: OneMore
    each: OneMore
    fewer: Literal["a", "b"]
    for_seen: int | None

    @property
    def next(self) -> OneMore:
        """One more donning of the arm with fewer."""
        return self.a if self.fewer == "a" else self.b


def worth_it(
    a: ExactTakes, b: ExactTakes, wearer: WearerScatter, arm_df: float, *, clear_below: float = beyond(CLEAR_LEVEL)
) -> WorthIt:
    """Judge one more donning of two arms of one wearer, measured alike, all readings exact.

    `wearer` and `arm_df` are those of the database's scatter (`NestedScatter`), as every verdict of it goes by. "clear"
    takes a p-value below `clear_below`: less than by itself where the pair is one of a list (`clear_limits`).
    """
    pair = _Pair(wearer, arm_df, clear_below)
    now = int(pair.verdicts(_Arrays.of(a), _Arrays.of(b)))
    one_a, one_b, each = (_one_more(pair, a, b, now, side) for side in ("a", "b", "each"))
    seen = b.mean - a.mean
    variance, df = pair.error(_Arrays.of(a), _Arrays.of(b))
    gsd = math.exp(math.sqrt(float(variance) / (1 / a.n + 1 / b.n)))
    for_seen = more_donnings(math.exp(seen), gsd, a.n, b.n, float(df)) if seen else None
    return WorthIt(one_a, one_b, each, "a" if a.n < b.n else "b", for_seen)


def clear_limits(p_values: Sequence[float]) -> tuple[float, ...]:
    """The p-value below which each comparison of a list is clear, all others staying as they are.

    Holm's procedure goes through the others from the smallest on; where it stops after k of them, what is left to pass
    is the level over the number of comparisons less k.
    """
    level, number = beyond(CLEAR_LEVEL), len(p_values)
    found = []
    for place in range(number):
        others = sorted([*p_values[:place], *p_values[place + 1 :]])
        passed = 0
        while passed < len(others) and others[passed] * (number - passed) < level:
            passed += 1
        found.append(level / (number - passed))
    return tuple(found)


@dataclass(frozen=True)
class _Arrays:
    """Arms that differ in what one donning of them reads."""

    n: int
    mean: FloatArray
    variance: FloatArray

    @classmethod
    def of(cls, takes: ExactTakes) -> _Arrays:
        return cls(takes.n, np.asarray(takes.mean), np.asarray(takes.variance if takes.n > 1 else 0.0))

    def with_one_more(self, reading: ArrayLike) -> _Arrays:
        """The arms after a further reading each, ln FF."""
        away = np.asarray(reading, dtype=np.float64) - self.mean
        mean = self.mean + away / (self.n + 1)
        variance = (self.variance * (self.n - 1) + away**2 * self.n / (self.n + 1)) / self.n
        return _Arrays(self.n + 1, mean, variance)


@dataclass(frozen=True)
class _Pair:
    """How arms of one wearer are judged."""

    wearer: WearerScatter
    arm_df: float
    clear_below: float

    def moderated(self, arm: _Arrays) -> FloatArray:
        kept = self._kept(arm)
        return np.asarray(kept * self.wearer.variance + (1 - kept) * arm.variance)

    def error(self, a: _Arrays, b: _Arrays) -> tuple[FloatArray, FloatArray]:
        """Variance of B − A and its degrees of freedom, as in `NestedScatter.degrees`."""
        parts = [self.moderated(arm) / arm.n for arm in (a, b)]
        total = parts[0] + parts[1]
        shares = [part / total for part in parts]
        arms = sum(share**2 / (self.arm_df + arm.n - 1) for share, arm in zip(shares, (a, b), strict=True))
        common = sum(share * self._kept(arm) for share, arm in zip(shares, (a, b), strict=True))
        return total, np.asarray(1 / (arms + common**2 / self.wearer.df))

    def verdicts(self, a: _Arrays, b: _Arrays) -> IntArray:
        """Number in `OUTCOMES` of what is said of each."""
        difference = b.mean - a.mean
        variance, df = self.error(a, b)
        se = np.sqrt(variance)
        p = 2 * stdtr(df, -np.abs(difference) / se)
        within = stdtr(df, (math.log(ALIKE_RATIO) - np.abs(difference)) / se) >= tails(LIKELY_LEVEL)[1]
        upwards = np.select([p < self.clear_below, p < beyond(LIKELY_LEVEL), within], [0, 1, 2], 3)
        downwards = (difference < 0) & (upwards < 2)
        return np.asarray(np.where(downwards, 5 - upwards, upwards), dtype=np.intp)

    def predicted(self, takes: ExactTakes) -> tuple[float, float]:
        """Scale of what a further donning reads around the arm's mean, and its degrees of freedom."""
        arm = _Arrays.of(takes)
        own_df = self.arm_df + takes.n - 1
        df = 1 / (1 / own_df + self._kept(arm) ** 2 / self.wearer.df)
        return math.sqrt(float(self.moderated(arm)) * (1 + 1 / takes.n)), df

    def _kept(self, arm: _Arrays) -> float:
        return 1 / (1 + (arm.n - 1) / self.arm_df)


def _one_more(pair: _Pair, a: ExactTakes, b: ExactTakes, now: int, side: Side) -> OneMore:
    if side == "each":
        scale, df = pair.predicted(a)
        places, weights = _strips(df)
        after = _Arrays.of(a).with_one_more(a.mean + scale * places)
        found = weights @ _chances(pair, b, _Other(after, former=True))
    elif side == "a":
        found = _chances(pair, a, _Other(_Arrays.of(b), former=False))[0]
    else:
        found = _chances(pair, b, _Other(_Arrays.of(a), former=True))[0]
    outcomes = tuple(float(chance) for chance in found)
    return OneMore(side, OUTCOMES[now], outcomes, max(0.0, 1 - outcomes[now]))


def _strips(df: float) -> tuple[FloatArray, FloatArray]:
    """Half as many strips as the grid has: their middles, in predicted scales, and the chance of each."""
    ends = np.sinh(np.linspace(-REACH, REACH, STEPS // 2 + 1))
    below = stdtr(df, ends)
    below[0], below[-1] = 0.0, 1.0
    middles = np.sinh(np.linspace(-REACH, REACH, STEPS + 1)[1::2])
    return middles, np.diff(below)


@dataclass(frozen=True)
class _Other:
    """The arms that get no further donning; `former` where they are A."""

    arms: _Arrays
    former: bool


def _chances(pair: _Pair, takes: ExactTakes, other: _Other) -> FloatArray:
    """Chance of each outcome after one more donning, (other arms, outcomes)."""
    scale, df = pair.predicted(takes)
    still = _Arrays(other.arms.n, np.atleast_1d(other.arms.mean), np.atleast_1d(other.arms.variance))

    def verdicts(place: FloatArray, row: IntArray) -> IntArray:
        moved = _Arrays.of(takes).with_one_more(takes.mean + scale * np.sinh(place))
        rest = _Arrays(still.n, still.mean[row], still.variance[row])
        return pair.verdicts(rest, moved) if other.former else pair.verdicts(moved, rest)

    grid = np.linspace(-REACH, REACH, STEPS + 1)
    rows, places = (part.ravel() for part in np.indices((len(still.mean), len(grid))))
    found = verdicts(grid[places], rows).reshape(len(still.mean), len(grid))
    row, step = np.nonzero(np.diff(found))
    low, high, before = grid[step], grid[step + 1], found[row, step]
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        same = verdicts(middle, row) == before
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    below = stdtr(df, np.sinh(high))
    out = np.zeros((len(still.mean), len(OUTCOMES)))
    np.add.at(out, (row, before), below)
    np.add.at(out, (row, found[row, step + 1]), -below)
    out[np.arange(len(out)), found[:, -1]] += 1.0
    return out
