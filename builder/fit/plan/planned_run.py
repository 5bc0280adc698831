"""A run of donnings on one mask and one wearer: what to test in which order, and what it will be able to tell."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from builder.fit.arrays import FloatArray
from builder.fit.compare.interactions import INTERACTION_SD
from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.compare.power import power, smallest_ratio
from builder.fit.levels import DOUBLING, MOST_PLANNED_DONNINGS, PLANNED_LEVEL, WANTED_POWER
from builder.fit.plan.fractions import Combination, EffectParts, Factor, aliases, configurations, main_effects
from builder.fit.plan.run_order import Donning, run_order

LARGEST_RATIO = 1e7
"""Fit factors lie between 1 and this."""


@dataclass(frozen=True)
class Plan:
    """A planned run. `factors` come with the most interesting first; `cannot_tell` are groups of aliased effects."""

    factors: tuple[Factor, ...]
    donnings: int
    half: bool
    seed: int
    configurations: tuple[Combination, ...]
    run: tuple[Donning, ...]
    cannot_tell: tuple[tuple[EffectParts, ...], ...]

    @property
    def specimens(self) -> int:
        """How many masks of the model the run needs."""
        return max(donning.specimen for donning in self.run)


@dataclass(frozen=True)
class PartOutlook:
    """What the run can tell of one part against as sold, averaged over the other slots.

    `donnings` with the part, and as many without. `smallest_ratio` is told with 80 % power at 95 %, None where the
    scatter is so little known that none is; `doubling_donnings` of each configuration would tell a doubling so, None
    where more than 100. `drift` is how many times the drift from one donning to the next would be taken for the
    part's effect, on ln FF.
    """

    slot: str
    part: str
    donnings: int
    smallest_ratio: float | None
    doubling_donnings: int | None
    drift: float


@dataclass(frozen=True)
class RunOutlook:
    """What a run can tell at the scatter `gsd`, known with `df` degrees of freedom once the run is done.

    `pair_ratio` and `pair_doubling_donnings` are for two configurations compared with each other alone.
    """

    gsd: float
    df: float
    parts: tuple[PartOutlook, ...]
    pair_ratio: float | None
    pair_doubling_donnings: int | None


def plan_run(factors: Sequence[Factor], *, donnings: int = 2, half: bool = False, seed: int = 1) -> Plan:
    """Plan every combination of the factors' parts, or a regular half, each `donnings` times.

    The same arguments give the same plan. ValueError where there is no half.
    """
    chosen = configurations(factors, half)
    run = run_order(factors, half, donnings, np.random.default_rng(seed))
    return Plan(tuple(factors), donnings, half, seed, chosen, run, aliases(factors, chosen))


def outlook(plan: Plan, scatter: NestedScatter) -> RunOutlook:
    """What the plan will be able to tell under the present scatter, analysed as `factorial` does.

    Donnings beyond the planned repeats (baselines, closing ones) are left out, so that it tells a little more.
    """
    tried = len(plan.configurations)
    deviation = INTERACTION_SD if plan.half else 0.0
    drift = drift_bias(plan.factors, [donning.configuration for donning in plan.run])
    parts: list[PartOutlook] = []
    for number, factor in enumerate(plan.factors):
        for part in factor.parts:
            with_part = sum(configuration[number] == part for configuration in plan.configurations)
            comparison = _Comparison(scatter, tried, with_part, deviation)
            parts.append(
                PartOutlook(
                    slot=factor.slot,
                    part=part,
                    donnings=plan.donnings * with_part,
                    smallest_ratio=comparison.smallest_ratio(plan.donnings),
                    doubling_donnings=comparison.donnings_for(DOUBLING),
                    drift=float(drift[len(parts)]),
                )
            )
    pair = _Comparison(scatter, tried, 1, 0.0)
    return RunOutlook(
        gsd=scatter.gsd,
        df=pair.df(plan.donnings),
        parts=tuple(parts),
        pair_ratio=pair.smallest_ratio(plan.donnings),
        pair_doubling_donnings=pair.donnings_for(DOUBLING),
    )


def drift_bias(factors: Sequence[Factor], worn: Sequence[Combination]) -> FloatArray:
    """How a drift of 1 from each donning to the next shifts each part's effect, parts in the factors' order.

    `worn` is the run in order of time. The effects are those of least squares on the mean of each configuration.
    """
    times: dict[Combination, list[int]] = {}
    for time, configuration in enumerate(worn):
        times.setdefault(configuration, []).append(time)
    means = np.array([np.mean(own) for own in times.values()])
    shifts: FloatArray = np.linalg.lstsq(main_effects(factors, list(times)), means, rcond=None)[0]
    return shifts[1:]


@dataclass(frozen=True)
class _Comparison:
    """A comparison of `configurations` on each side, in a run of `tried` configurations.

    `deviation` is the SD (ln) by which each configuration misses the product of its parts' effects, which no number
    of donnings averages out.
    """

    scatter: NestedScatter
    tried: int
    configurations: int
    deviation: float

    def df(self, donnings: int) -> float:
        """Degrees of freedom of the comparison after so many donnings of each configuration."""
        own, arms = donnings - 1, 2 * self.configurations
        known = replace(self.scatter, stranger=self.scatter.after(self.tried, own))
        return float(known.degrees(np.full((arms, 1), 1 / arms), np.full((arms, 1), float(own)), [""])[0])

    def smallest_ratio(self, donnings: int) -> float | None:
        """Smallest ratio that so many donnings of each configuration tell, None for one beyond all fit factors."""
        if not self._tells(LARGEST_RATIO, donnings):
            return None
        n = donnings * self.configurations
        before = self.df(donnings) - 2 * (n - 1)  # `smallest_ratio` adds what n donnings each side bring
        return smallest_ratio(n, self._gsd(donnings), confidence=PLANNED_LEVEL, scatter_df=before)

    def donnings_for(self, ratio: float) -> int | None:
        """Fewest donnings of each configuration that tell a ratio."""
        return next(
            (donnings for donnings in range(1, MOST_PLANNED_DONNINGS + 1) if self._tells(ratio, donnings)), None
        )

    def _tells(self, ratio: float, donnings: int) -> bool:
        n = donnings * self.configurations
        return power(ratio, self._gsd(donnings), n, n, self.df(donnings), confidence=PLANNED_LEVEL) >= WANTED_POWER

    def _gsd(self, donnings: int) -> float:
        """Scatter of one donning, with its share of the configuration's deviation."""
        variance = self.scatter.stranger.variance + donnings * self.deviation**2
        return float(np.exp(np.sqrt(variance)))
