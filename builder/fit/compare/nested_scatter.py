"""Scatter between donnings in two steps: an arm within its wearer, the wearer within the database.

Some people don a mask more evenly than others, on every mask, and some masks allow more play than others. Let one arm
(one configuration on one wearer) scatter with variance σ²_a, its wearer with σ²_w, all on ln FF:

    ln σ²_w ~ N(ln s₀², u₀²)          wearers in the database
    σ²_a ~ d₁ σ²_w / χ²(d₁)           arms of one wearer, ln σ²_a having SD u₁ = √ψ′(d₁/2)
    s²_a ~ σ²_a χ²(d_a) / d_a         what its repeats show

so that s²_a/σ²_w follows F(d_a, d₁) (G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 2004;3:3, eq. 4). With priors on s₀,
u₀ and u₁ all is averaged over a grid of the four unknowns. The priors alone come to the planning value, GSD 2 with
about 4 degrees of freedom, so that few repeats never end in an absurd width; each repeat moves away from it.

What the database ships is small: d₁, and for each wearer the variance v_w with t_w degrees of freedom whose scaled
inverse χ² has the posterior's mean and variance of ln σ²_w; one more such pair serves a wearer without repeats. With
these, and s²_a and d_a of each arm, everything else has a closed form. For any sum Σ c_a · mean_a over arms of one
wearer, n_a donnings each:

    ṽ_a = (d₁ v_w + d_a s²_a) / (d₁ + d_a)            an arm's moderated variance; v_w where d₁ is infinite
    SE² = Σ c_a² ṽ_a / n_a,   p_a = (c_a² ṽ_a / n_a) / SE²
    1/ν = Σ p_a² / (d₁ + d_a) + (Σ p_a d₁ / (d₁ + d_a))² / t_w

and (estimate − truth)/SE is taken as Student's t with ν degrees of freedom. The first sum is what is not known of the
arms beyond their wearer, the second what is not known of the wearer, which all arms share.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike
from scipy.special import digamma, gammaln, polygamma

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.half_normal import HalfNormalGrid
from builder.fit.compare.methods import METHOD
from builder.fit.levels import FEWEST_ARMS

ARM = ["configuration", "wearer", "facial_hair"]
"""What makes two tests repeats of each other; a beard is never a repeat of a shaved face."""

ROUNDING_VARIANCE = 4e-6
"""Stands for a variance of 0, whose logarithm there is not: readings equal to two figures differ by up to about 1 %,
and the geometric mean variance of such pairs is this."""

LEVEL = -0.5
"""Where ln s₀² is thought to be before any repeats; an arm then has the variance of a GSD of 2 (common practice, no
published source)."""
LEVEL_SD = 0.65
"""So that the ln SDs 0.4 to 0.9 of the planning range are within two standard deviations."""
WEARER_SCALE = 0.4
ARM_SCALE = 0.25
"""Scales of the half-normal priors on u₀ and u₁."""

_STEP = 0.08
_LOG_VARIANCE = np.arange(-100, 35) * _STEP
_LEVELS = _LOG_VARIANCE[45:115]
"""The grids of ln σ²_w and of ln s₀²."""


@dataclass(frozen=True)
class WearerScatter:
    """Variance (ln²) of one donning of a wearer, with its degrees of freedom."""

    variance: float
    df: float


@dataclass(frozen=True)
class NestedScatter:
    """Re-donning scatter of a database, on ln FF.

    `stranger` is what a wearer without repeats is given; `arm_df` is d₁. `arms` repeat arms with `total_df` degrees of
    freedom stand behind it; `planned` is true where they are so few that the planning value carries most of it.
    """

    stranger: WearerScatter
    arm_df: float
    wearers: Mapping[str, WearerScatter]
    arms: int
    total_df: int
    planned: bool

    @property
    def gsd(self) -> float:
        """Geometric standard deviation between donnings of a wearer without repeats."""
        return float(np.exp(np.sqrt(self.stranger.variance)))

    def of(self, wearers: Sequence[str]) -> tuple[FloatArray, FloatArray]:
        """Variance and degrees of freedom of each wearer, v_w and t_w."""
        found = [self.wearers.get(wearer, self.stranger) for wearer in wearers]
        return np.array([one.variance for one in found]), np.array([one.df for one in found])

    def moderated(self, variance: ArrayLike, df: ArrayLike, wearers: Sequence[str]) -> FloatArray:
        """Moderated variance ṽ of one donning of each arm, from its own (NaN or anything where `df` is 0)."""
        df = np.asarray(df, dtype=np.float64)
        own = np.where(df > 0, np.asarray(variance, dtype=np.float64), 0.0)
        of_wearer, _ = self.of(wearers)
        kept = self._kept(df)
        return kept * of_wearer + (1 - kept) * own

    def degrees(self, shares: ArrayLike, df: ArrayLike, wearers: Sequence[str]) -> FloatArray:
        """Degrees of freedom ν of sums over arms, (K,): each arm's share p of SE² and own `df`, both (arms, K)."""
        shares, df = np.asarray(shares, dtype=np.float64), np.asarray(df, dtype=np.float64)
        _, of_wearer = self.of(wearers)
        own = (shares**2 / (self.arm_df + df)).sum(axis=0)
        inverse = own + (shares * self._kept(df)).sum(axis=0) ** 2 / of_wearer
        return np.asarray(1 / inverse)

    def after(self, arms: int, own_df: float) -> WearerScatter:
        """What will be known of a wearer without repeats after `arms` arms of `own_df` degrees of freedom each.

        Each arm adds d d₁/(d + d₁) degrees of freedom: its own where arms do not differ. The variance stays.
        """
        return WearerScatter(self.stranger.variance, self.stranger.df + arms * own_df / (1 + own_df / self.arm_df))

    def _kept(self, df: FloatArray) -> FloatArray:
        """How much of the wearer stays in an arm's moderated variance: d₁/(d₁ + d)."""
        return np.asarray(1 / (1 + df / self.arm_df))


def repeat_arms(table: pd.DataFrame) -> pd.DataFrame:
    """`wearer`, `variance` (ln²) and `df` of every arm with two or more tests by one method that count, in order.

    An arm with an "at least" reading stays out as a whole: what is left of it below the ceiling scatters too little.
    """
    counted = table[table["counted"]]
    groups = counted.assign(y=np.log(counted["fit_factor"])).groupby([*ARM, *METHOD], observed=True)
    arms = groups.agg(variance=("y", "var"), n=("y", "size"), limited=("at_least", "any")).reset_index()
    repeats = arms[(arms["n"] > 1) & ~arms["limited"].astype(bool)]
    return repeats.assign(df=repeats["n"] - 1)[["wearer", "variance", "df"]].reset_index(drop=True)


def nested_scatter(table: pd.DataFrame) -> NestedScatter:
    """Scatter from the repeats in a tidy table; tests set aside and arms with "at least" readings are left out."""
    arms = repeat_arms(table)
    return scatter_of(arms["variance"].to_numpy(), arms["df"].to_numpy(), arms["wearer"].tolist())


def scatter_of(variances: ArrayLike, df: ArrayLike, wearers: Sequence[str]) -> NestedScatter:
    """Scatter from the variances of arms, their degrees of freedom (1 or more) and whose they are; none is fine."""
    s2, d = np.asarray(variances, dtype=np.float64), np.asarray(df, dtype=np.float64)
    # A variance of 0 is one that rounding hides.
    s2 = np.where(s2 < 1e-12, ROUNDING_VARIANCE, s2)  # but for floating point
    names, whose = np.unique(np.asarray(wearers, dtype=object).astype(str), return_inverse=True)
    among_wearers, within = HalfNormalGrid(WEARER_SCALE), HalfNormalGrid(ARM_SCALE)
    u0, u1 = among_wearers.values, within.values
    # Density of ln σ²_w on the grid, for each pair of s₀ and u₀.
    away = _LOG_VARIANCE[:, None, None] - _LEVELS[None, :, None]
    among = np.exp(-0.5 * (away / u0) ** 2)
    among /= among.sum(axis=0)
    among = among.reshape(len(_LOG_VARIANCE), -1)
    prior = np.exp(-0.5 * ((_LEVELS[:, None] - LEVEL) / LEVEL_SD) ** 2) * among_wearers.weights
    log_prior = np.log(prior).reshape(-1)

    likelihood = _likelihood(s2, d, whose, [2 * inverse_trigamma(float(u) ** 2) for u in u1])
    # A wearer far from all others may leave nothing at narrow spreads.
    predicted = np.maximum(likelihood @ among, 1e-300)
    log_weight = log_prior + np.log(predicted).sum(axis=1) + np.log(within.weights)[:, None]
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    posterior = (likelihood * ((weight[:, None, :] / predicted) @ among.T)).sum(axis=0)
    return NestedScatter(
        stranger=_matched(among @ weight.sum(axis=0)),
        arm_df=2 * inverse_trigamma(float(weight.sum(axis=1) @ u1**2)),
        wearers={str(name): _matched(row) for name, row in zip(names, posterior, strict=True)},
        arms=len(s2),
        total_df=int(d.sum()),
        planned=len(s2) < FEWEST_ARMS,
    )


def _likelihood(s2: FloatArray, d: FloatArray, whose: IntArray, arm_df: Sequence[float]) -> FloatArray:
    """Likelihood of each wearer's variances, (values of d₁, wearers, grid of ln σ²_w), largest 1 for each wearer."""
    order = np.argsort(whose, kind="stable")
    s2, d = s2[order], d[order]
    starts = np.flatnonzero(np.diff(whose[order], prepend=-1))
    log = (
        np.stack([np.add.reduceat(_log_density(s2, d, one), starts) for one in arm_df])
        if len(s2)
        else np.zeros((len(arm_df), 0, len(_LOG_VARIANCE)))
    )
    likelihood: FloatArray = np.exp(log - log.max(axis=(0, 2), keepdims=True, initial=-np.inf))
    return likelihood


def _log_density(s2: FloatArray, d: FloatArray, arm_df: float) -> FloatArray:
    """Log density of each variance at each ln σ²_w, (arms, grid), up to what depends on neither σ²_w nor d₁."""
    constant = gammaln((d + arm_df) / 2) - gammaln(arm_df / 2) - 0.5 * d * np.log(arm_df)
    spread = np.log1p((d * s2 / arm_df)[:, None] * np.exp(-_LOG_VARIANCE))
    density: FloatArray = constant[:, None] - 0.5 * d[:, None] * _LOG_VARIANCE - 0.5 * (d + arm_df)[:, None] * spread
    return density


def _matched(weights: FloatArray) -> WearerScatter:
    """The scaled inverse χ² with the mean and variance of ln σ² of weights on the grid."""
    share = weights / weights.sum()
    mean = float(share @ _LOG_VARIANCE)
    # What lies between two points of the grid cannot be told apart.
    variance = max(float(share @ (_LOG_VARIANCE - mean) ** 2), _STEP**2 / 12)
    half = inverse_trigamma(variance)
    return WearerScatter(float(np.exp(mean + digamma(half) - np.log(half))), 2 * half)


def inverse_trigamma(value: float) -> float:
    """The y > 0 with ψ′(y) = value, by Newton's method on 1/ψ′ (Smyth 2004, appendix)."""
    if value > 1e7:
        return float(value**-0.5)  # ψ′(y) → 1/y² for small y
    if value < 1e-6:
        return 1 / value  # ψ′(y) → 1/y for large y
    y = 0.5 + 1 / value
    while True:
        trigamma = float(polygamma(1, y))
        step = trigamma * (1 - trigamma / value) / float(polygamma(2, y))
        y += step
        if -step / y < 1e-8:
            return y
