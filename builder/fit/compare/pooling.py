"""Pooling contrasts of several wearers: random effects.

What the site shows is `bayes_pool`, since with few contrasts the classical intervals are either absurdly wide or
too narrow. The classical estimates stand beside it for comparison. Effects are on ln FF throughout.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import brentq
from scipy.special import ndtr, ndtri, stdtrit

from builder.fit.arrays import FloatArray
from builder.fit.intervals import Interval
from builder.fit.levels import SHOWN_LEVEL, tails

Heterogeneity = Literal["alike", "differs", "widely", "open"]
"""How much an effect differs between faces; "open" where too few tell."""

TAU_SCALE = 0.7
"""Scale of the half-normal prior on the spread between wearers, ln units: 95 % of it below a spread of ×÷3.9."""

MEAN_SD = 0.5 * float(np.log(10))
"""SD of the normal prior on the mean, ln units: half a decade either way."""

GRID_POINTS = 61
GRID_END = 4.0
"""The grid of τ: evenly spaced from 0 to this many prior scales."""


@dataclass(frozen=True)
class RandomEffects:
    """Classical random-effects mean with its standard error; `df` is infinite for a normal interval."""

    mean: float
    se: float
    df: float

    def interval(self) -> Interval:
        """95 % confidence interval of the mean."""
        half = float(stdtrit(self.df, tails(SHOWN_LEVEL)[1])) * self.se
        return Interval(self.mean - half, self.mean + half)


@dataclass(frozen=True)
class Mixture:
    """A mixture of normal distributions: arrays of weights (sum 1), means and SDs (> 0)."""

    weights: FloatArray
    means: FloatArray
    sds: FloatArray

    @property
    def mean(self) -> float:
        """Mean of the mixture."""
        return float(self.weights @ self.means)

    def above(self, value: float) -> float:
        """Probability of exceeding a value."""
        return float(self.weights @ ndtr((self.means - value) / self.sds))

    def quantiles(self, probabilities: Sequence[float]) -> list[float]:
        """Quantiles, by Newton's steps of all at once, halfway where one would lead out of what is left."""
        wanted = np.asarray(probabilities, dtype=np.float64)
        low = np.full(len(wanted), np.min(self.means - 10 * self.sds))
        high = np.full(len(wanted), np.max(self.means + 10 * self.sds))
        spread = np.sqrt(self.weights @ (self.sds**2 + (self.means - self.mean) ** 2))
        found = self.mean + spread * ndtri(wanted)
        for _ in range(200):
            z = (found[:, None] - self.means) / self.sds
            lack = ndtr(z) @ self.weights - wanted
            low, high = np.where(lack < 0, found, low), np.where(lack < 0, high, found)
            density = np.exp(-0.5 * z**2) @ (self.weights / self.sds) / np.sqrt(2 * np.pi)
            ahead = found - lack / np.maximum(density, 1e-300)
            ahead = np.where((ahead >= low) & (ahead <= high), ahead, (low + high) / 2)
            moved, found = np.abs(ahead - found).max(), ahead
            if moved < 1e-12:
                break
        return [float(value) for value in found]

    def interval(self, level: float) -> Interval:
        """Interval with equal tails."""
        return Interval(*self.quantiles([(1 - level) / 2, (1 + level) / 2]))


@dataclass(frozen=True)
class Pooled:
    """Posterior of `bayes_pool`: the `mean` effect, the effect on a `new` wearer, and `tau`, the mean spread."""

    mean: Mixture
    new: Mixture
    tau: float
    k: int

    @property
    def chance_helps(self) -> float:
        """Probability that the effect on a new wearer is above 0."""
        return self.new.above(0.0)


def bayes_pool(
    effects: ArrayLike, variances: ArrayLike, *, tau_scale: float = TAU_SCALE, mean_sd: float = MEAN_SD
) -> Pooled:
    """Normal–normal model with priors τ ~ half-normal(`tau_scale`), μ ~ N(0, `mean_sd`²); one or more effects.

    Given τ everything is normal, so the posterior is a mixture over a fixed grid of τ, trapezoid rule: with
    w = 1/(v + τ²) and precision P = Σw + 1/mean_sd², the mean effect is N(Σwy/P, 1/P), a new one has τ² more, and
    τ weighs exp(−½(τ/tau_scale)²) · Π√w · P^−½ · exp(−½(Σwy² − (Σwy)²/P)).
    """
    y = np.asarray(effects, dtype=np.float64)
    v = np.asarray(variances, dtype=np.float64)
    tau = np.linspace(0, GRID_END * tau_scale, GRID_POINTS)
    w = 1 / (v + tau[:, None] ** 2)
    precision = w.sum(axis=1) + mean_sd**-2
    means = w @ y / precision
    log_weight = -0.5 * (
        (tau / tau_scale) ** 2 - np.log(w).sum(axis=1) + np.log(precision) + w @ y**2 - means**2 * precision
    )
    weights = np.exp(log_weight - log_weight.max())
    weights[[0, -1]] /= 2
    weights /= weights.sum()
    return Pooled(
        mean=Mixture(weights, means, precision**-0.5),
        new=Mixture(weights, means, np.sqrt(1 / precision + tau**2)),
        tau=float(weights @ tau),
        k=len(y),
    )


def heterogeneity(spread: Interval) -> Heterogeneity:
    """Judge how much an effect differs between faces by the 95 % interval of the SD between them (ln).

    So that "alike" is never said for want of data.
    """
    if spread.high < 0.25:  # 95 % of faces within ×÷1.6 of the mean
        return "alike"
    if spread.low >= 0.5:  # ×÷2.7
        return "widely"
    return "differs" if spread.low >= 0.25 else "open"


def cochran_q(effects: ArrayLike, variances: ArrayLike, tau2: float = 0.0) -> float:
    """Weighted sum of squares about the weighted mean; k − 1 is expected where `tau2` is right."""
    y, w = _weighted(effects, variances, tau2)
    return float(w @ (y - w @ y / w.sum()) ** 2)


def dersimonian_laird(effects: ArrayLike, variances: ArrayLike) -> float:
    """τ² by the method of moments (DerSimonian & Laird, Control. Clin. Trials 1986;7:177)."""
    y, w = _weighted(effects, variances, 0.0)
    scale = w.sum() - w @ w / w.sum()
    return max(0.0, float((cochran_q(effects, variances) - (len(y) - 1)) / scale))


def reml(effects: ArrayLike, variances: ArrayLike) -> float:
    """τ² by restricted maximum likelihood: the root of its score (Viechtbauer, J. Educ. Behav. Stat. 2005;30:261)."""

    def score(tau2: float) -> float:
        y, w = _weighted(effects, variances, tau2)
        return float(w**2 @ (y - w @ y / w.sum()) ** 2 - w.sum() + w @ w / w.sum())

    return _root(score, effects)


def random_effects(
    effects: ArrayLike, variances: ArrayLike, tau2: float, *, hartung_knapp: bool = False
) -> RandomEffects:
    """Weighted mean of two or more effects at a given τ².

    With a normal interval, or that of Hartung & Knapp (Stat. Med. 2001;20:3875).
    """
    y, w = _weighted(effects, variances, tau2)
    mean, variance, df = float(w @ y / w.sum()), 1 / float(w.sum()), float("inf")
    if hartung_knapp:
        df = len(y) - 1.0
        variance *= cochran_q(effects, variances, tau2) / df
    return RandomEffects(mean, float(np.sqrt(variance)), df)


def _weighted(effects: ArrayLike, variances: ArrayLike, tau2: float) -> tuple[FloatArray, FloatArray]:
    return np.asarray(effects, dtype=np.float64), 1 / (np.asarray(variances, dtype=np.float64) + tau2)


def _root(falling: Callable[[float], float], effects: ArrayLike) -> float:
    """Where a function of τ² that starts above 0 falls to 0; 0 where it starts below."""
    if falling(0.0) <= 0:
        return 0.0
    end = 1.0 + float(np.ptp(np.asarray(effects, dtype=np.float64))) ** 2
    while falling(end) > 0:
        end *= 2
    return float(brentq(falling, 0.0, end, xtol=1e-14))
