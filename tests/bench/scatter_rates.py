"""How often comparisons on one wearer are wrong, by how donning scatter is known: one step, and two. Fixed seeds.

Run by hand, about five minutes: python -m tests.bench.scatter_rates
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.nested_scatter import NestedScatter, scatter_of
from builder.fit.compare.power import more_donnings
from tests.bench.arguments import parser
from tests.bench.contrast_rates import table
from tests.bench.one_step import OneStep

TYPICAL = 0.45
"""ln SD between donnings, over all wearers."""


@dataclass(frozen=True)
class Arms:
    """Arms in arrays of one shape: `n` tests, `mean` and `variance` of ln FF, `df` of that variance."""

    n: FloatArray
    mean: FloatArray
    variance: FloatArray
    df: FloatArray

    def take(self, places: IntArray) -> "Arms":
        """The arms at some places."""
        return Arms(self.n[places], self.mean[places], self.variance[places], self.df[places])


@dataclass(frozen=True)
class Difference:
    """Differences of means with their variance and degrees of freedom."""

    estimate: FloatArray
    variance: FloatArray
    df: FloatArray


def in_one_step(a: Arms, b: Arms, scatter: OneStep) -> Difference:
    """Differences on the variance that both arms share, moderated."""
    own_df = a.df + b.df
    own = (a.df * a.variance + b.df * b.variance) / np.maximum(own_df, 1)
    moderated, df = scatter.moderated(own, own_df)
    return Difference(b.mean - a.mean, moderated * (1 / a.n + 1 / b.n), df)


def in_two_steps(a: Arms, b: Arms, scatter: NestedScatter, wearers: list[str]) -> Difference:
    """Differences with each arm on its own moderated variance, as on the site."""
    parts = np.stack([scatter.moderated(arm.variance, arm.df, wearers) / arm.n for arm in (a, b)])
    variance = parts.sum(axis=0)
    df = scatter.degrees(parts / variance, np.stack([a.df, b.df]), wearers)
    return Difference(b.mean - a.mean, variance, df)


@dataclass(frozen=True)
class Truth:
    """Wearers with some arms each, of `fewest` to `most` donnings; the second half scatters `ratio` times as much.

    Arms of one wearer differ with `arm_df` degrees of freedom.
    """

    name: str
    wearers: int = 16
    arms: int = 5
    fewest: int = 1
    most: int = 3
    ratio: float = 1.0
    arm_df: float = math.inf

    def draw(self, rng: np.random.Generator) -> "Drawn":
        """A database in which nothing differs but by chance."""
        whose = np.repeat(np.arange(self.wearers), self.arms)
        n = rng.integers(self.fewest, self.most + 1, len(whose))
        loose = self.arm_df / rng.chisquare(self.arm_df, len(whose)) if math.isfinite(self.arm_df) else np.ones(len(n))
        sd = TYPICAL * np.where(whose < self.wearers // 2, self.ratio**-0.5, self.ratio**0.5) * np.sqrt(loose)
        df = np.maximum(n - 1, 1)
        variance = np.where(n > 1, sd**2 * rng.chisquare(df) / df, 0.0)
        arms = Arms(
            n.astype(np.float64),
            rng.normal(0, sd / np.sqrt(n)),
            variance,
            (n - 1).astype(np.float64),
        )
        return Drawn(arms, [f"w{w}" for w in whose], self.arms)


@dataclass(frozen=True)
class Drawn:
    """The arms of a database and whose they are."""

    arms: Arms
    names: list[str]
    each: int

    def differences(self) -> tuple[Difference, Difference]:
        """Second against first arm on each wearer: scatter in one step, and in two."""
        repeats = self.arms.df > 0
        variances, df = self.arms.variance[repeats], self.arms.df[repeats]
        first = np.arange(len(self.names))[:: self.each]
        a, b = self.arms.take(first), self.arms.take(first + 1)
        whose = [self.names[i] for i in first]
        nested = scatter_of(variances, df, np.array(self.names)[repeats].tolist())
        return (
            in_one_step(a, b, OneStep.of(variances, df)),
            in_two_steps(a, b, nested, whose),
        )


def verdict_rates(truth: Truth, draws: int) -> FloatArray:
    """Steps × figures: false "clear", false "likely" and "likely" at ×2, of the quieter half, then of the noisier."""
    found = np.zeros((2, 3, truth.wearers))
    for seed in range(draws):
        drawn = truth.draw(np.random.default_rng([17, truth.wearers, truth.arms, seed]))
        for step, contrast in enumerate(drawn.differences()):
            se = np.sqrt(contrast.variance)
            clear, likely = (stdtrit(contrast.df, p) * se for p in (0.995, 0.95))
            found[step] += [
                np.abs(contrast.estimate) > clear,
                np.abs(contrast.estimate) > likely,
                contrast.estimate + math.log(2) > likely,
            ]
    halves = found.reshape(2, 3, 2, -1).mean(axis=-1) / draws
    rows: FloatArray = halves.transpose(0, 2, 1).reshape(2, 6)
    return rows


def few_repeats(draws: int) -> list[float]:
    """Widest one-donning ln SD, lowest degrees of freedom, most donnings needed and how often too many to say."""
    widest, lowest, needed = 0.0, math.inf, []
    for seed in range(draws):
        rng = np.random.default_rng([19, seed])
        count = int(rng.integers(0, 9))
        df = rng.integers(1, 3, count)
        variances = TYPICAL**2 * rng.chisquare(4, count) / 4 * rng.chisquare(df) / df
        nested = scatter_of(variances, df, [f"w{w}" for w in rng.integers(0, 5, count)])
        for one in (*nested.wearers.values(), nested.stranger):
            widest, lowest = max(widest, math.sqrt(one.variance)), min(lowest, one.df)
            needed.append(more_donnings(2, math.exp(math.sqrt(one.variance)), 1, 1, one.df))
    told = [count for count in needed if count is not None]
    return [widest, lowest, float(max(told)), float(len(needed) - len(told))]


TRUTHS = [
    Truth("all scatter alike"),
    Truth("alike, 3 donnings", fewest=3),
    Truth("half scatter ×2", ratio=2),
    Truth("half ×2, 3 donnings", fewest=3, ratio=2),
    Truth("half ×2, 12 arms each", arms=12, ratio=2),
    Truth("half ×2, arms differ (8)", ratio=2, arm_df=8),
    Truth("arms differ (4)", arm_df=4),
    Truth("alike, 4 wearers, 2 arms", wearers=4, arms=2),
    Truth("arms differ (4), 4 wearers, 2 arms", wearers=4, arms=2, arm_df=4),
]


def main() -> None:
    """Print the tables."""
    arguments = parser(__file__, __doc__)
    arguments.add_argument("--draws", type=int, default=400, help="databases a row")
    draws = arguments.parse_args().draws
    table(
        "One wearer, nothing differing: share called clear and likely; share likely where the truth is ×2",
        ("truth", "steps", *(f"{half}: {what}" for half in ("quiet", "noisy") for what in ("clear", "likely", "×2"))),
        (
            (truth.name, str(step), *map(float, row))
            for truth in TRUTHS
            for step, row in enumerate(verdict_rates(truth, draws), start=1)
        ),
    )
    table(
        "450 databases with 0 to 8 repeats",
        ("widest ln SD", "fewest degrees of freedom", "most donnings for a doubling", "too many to say"),
        [few_repeats(450)],
    )


if __name__ == "__main__":
    main()
