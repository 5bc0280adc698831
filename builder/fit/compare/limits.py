"""What "at least" readings tell of a difference: the likelihood of one wearer's B − A where an arm holds limits.

Donnings of one arm scatter normally around θ with the moderated variance v of one donning. An exact reading y then has
the density φ((y − θ)/√v), a reading of at least c the chance Φ((θ − c)/√v). The level of A is of no interest, so
it is integrated out under a flat prior:

    L(d) = ∫ A(θ) B(θ + d) dθ,   A and B the products over each arm's readings.

One arm must have an exact reading; else L is flat and the wearer tells nothing. Where only B lacks one, L rises to a
constant: the difference is somewhere above. L is log-concave, as all its factors are.
"""

from collections import Counter
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import log_ndtr

from builder.fit.arrays import FloatArray
from builder.fit.compare.verdicts import Bound

NODES = np.linspace(-6.5, 6.5, 27)
"""Where the level of A is summed up around its likeliest value, in standard deviations that exact readings leave it;
limits only make it narrower."""
_CLIMB = 30
_SETTLED = 1e-6

_EXTRA_NODES, _weights = np.polynomial.hermite_e.hermegauss(15)
_EXTRA_WEIGHTS = np.log(_weights / _weights.sum())
"""Gauss–Hermite rule for variance beyond donnings, standard normal, with the logs of its weights."""


@dataclass(frozen=True)
class LimitedArm:
    """Readings of one arm: `n` exact ones with `mean` ln FF, the `limits` of the others, and one donning's variance.

    `mean` counts for nothing where `n` is 0.
    """

    n: int
    mean: float
    limits: tuple[float, ...]
    variance: float

    @classmethod
    def of(cls, values: ArrayLike, at_least: ArrayLike, variance: float) -> "LimitedArm":
        """The arm of ln FF with their "at least" flags."""
        y, limited = np.asarray(values, dtype=np.float64), np.asarray(at_least, dtype=bool)
        exact = y[~limited]
        limits = tuple(sorted(y[limited].tolist()))
        return cls(len(exact), float(exact.mean()) if len(exact) else 0.0, limits, float(variance))

    @property
    def middle(self) -> float:
        """Mean of all readings, limits at their values."""
        return (self.n * self.mean + sum(self.limits)) / (self.n + len(self.limits))

    @property
    def precision(self) -> float:
        """Of the arm's level, from the exact readings alone."""
        return self.n / self.variance

    def log_likelihood(self, level: FloatArray) -> FloatArray:
        """Log likelihood of levels of ln FF, up to a constant."""
        log = -0.5 * self.precision * (level - self.mean) ** 2
        for limit, count in self._ceilings:
            log = log + count * log_ndtr((level - limit) / self.variance**0.5)
        return np.asarray(log)

    def slopes(self, level: FloatArray) -> tuple[FloatArray, FloatArray]:
        """First and second derivative of the log likelihood."""
        first, second = -self.precision * (level - self.mean), np.full(level.shape, -self.precision)
        for limit, count in self._ceilings:
            t = (level - limit) / self.variance**0.5
            slope = np.exp(-0.5 * t**2 - 0.5 * np.log(2 * np.pi) - log_ndtr(t))
            first = first + count * slope / self.variance**0.5
            second = second - count * slope * (slope + t) / self.variance
        return first, second

    @cached_property
    def _ceilings(self) -> list[tuple[float, int]]:
        """Each limit with how many readings have it."""
        return sorted(Counter(self.limits).items())


@dataclass(frozen=True)
class LimitedDifference:
    """One wearer's B − A on ln FF with limits on a side, or on both.

    `extra` is variance of the difference beyond donnings, and `shift` is added to it: both for what is taken out
    between methods of measuring.
    """

    a: LimitedArm
    b: LimitedArm
    shift: float = 0.0
    extra: float = 0.0

    @property
    def bound(self) -> Bound:
        """Whether the wearer bounds the difference on both sides ("none"), on one, or not at all ("both")."""
        if self.a.n and self.b.n:
            return "none"
        return "at_least" if self.a.n else "at_most" if self.b.n else "both"

    @property
    def middle(self) -> float:
        """The difference with limits at their values."""
        return self.b.middle - self.a.middle + self.shift

    @property
    def reach(self) -> float:
        """Beyond so many standard deviations from `middle` the likelihood changes no more."""
        return 8 * float(np.sqrt(self.a.variance + self.b.variance + self.extra))

    @property
    def narrowest(self) -> float:
        """Standard deviation of the difference, were all readings exact."""
        counts = (arm.variance / (arm.n + len(arm.limits)) for arm in (self.a, self.b))
        return float(np.sqrt(sum(counts) + self.extra))

    def log_likelihood(self, difference: ArrayLike) -> FloatArray:
        """ln L of some differences, up to a constant. ValueError where neither arm has an exact reading."""
        if self.bound == "both":
            raise ValueError("neither arm has an exact reading")
        d = np.asarray(difference, dtype=np.float64) - self.shift
        if not self.extra:
            return self._of_donnings(d)
        spread = self._of_donnings(d[..., None] - self.extra**0.5 * _EXTRA_NODES) + _EXTRA_WEIGHTS
        return _log_sum(spread)

    def _of_donnings(self, d: FloatArray) -> FloatArray:
        """The likelihood that donnings alone give."""
        precision = self.a.precision + self.b.precision
        level = (self.a.precision * self.a.mean + self.b.precision * (self.b.mean - d)) / precision
        for _ in range(_CLIMB):  # Newton's steps to the top of a concave function
            (first_a, second_a), (first_b, second_b) = self.a.slopes(level), self.b.slopes(level + d)
            step = (first_a + first_b) / (second_a + second_b)
            level = level - step
            if np.abs(step).max(initial=0.0) < _SETTLED:
                break
        nodes = level[..., None] + precision**-0.5 * NODES
        log = self.a.log_likelihood(nodes) + self.b.log_likelihood(nodes + d[..., None])
        return _log_sum(log)


def _log_sum(log: FloatArray) -> FloatArray:
    """Logarithm of the sum along the last axis."""
    highest = log.max(axis=-1, keepdims=True)
    return np.asarray(highest[..., 0] + np.log(np.exp(log - highest).sum(axis=-1)))
