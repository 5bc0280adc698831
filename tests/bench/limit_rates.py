"""Comparisons of several wearers under ceilings: limits at their values, and by likelihood. Fixed seeds.

Run by hand, about five minutes: python -m tests.bench.limit_rates
"""

import math
from dataclasses import dataclass

import numpy as np

from builder.fit.compare.contrasts import Contrast, Told, told_by
from builder.fit.compare.methods import MethodEffects
from builder.fit.compare.over_wearers import over_wearers
from builder.fit.compare.pooling import bayes_pool
from builder.fit.compare.verdicts import UNKNOWN, Judgement, judge
from tests.bench.arguments import parser
from tests.bench.contrast_rates import table
from tests.fit.tables import ONE_METHOD, readings, scatter_of_all

VARIANCE = 0.45**2
SCATTER = scatter_of_all(VARIANCE)
SPREAD = 0.4
"""ln SD of the effect between wearers."""


@dataclass(frozen=True)
class Truth:
    """Wearers around `level` in A, `ratio` times that in B; a `capped` share of counters ends at 200."""

    wearers: int
    ratio: float
    capped: float
    level: float = 80.0

    def draw(self, rng: np.random.Generator) -> list[Told]:
        """What each wearer tells."""
        found = []
        for wearer in range(self.wearers):
            level = rng.normal(math.log(self.level), 0.6)
            effect = rng.normal(math.log(self.ratio), SPREAD)
            ceiling = math.log(200) if rng.random() < self.capped else math.inf
            n = rng.integers(1, 4, 2)
            a, b = (
                np.minimum(rng.normal(level + up, VARIANCE**0.5, m), ceiling)
                for up, m in zip((0, effect), n, strict=True)
            )
            arm_a, arm_b = ([readings(y, SCATTER, (y == ceiling).tolist())] for y in (a, b))
            found.append(told_by(arm_a, arm_b, SCATTER, MethodEffects.unknown([ONE_METHOD]), wearer=f"w{wearer}"))
        return found


def at_their_values(wearers: list[Contrast]) -> Judgement:
    """Limits in one direction at their values, and no ratio where they go both ways."""
    rests_on = [c for c in wearers if c.bound != "both"]
    limits = {c.bound for c in rests_on} - {"none"}
    if not rests_on or len(limits) == 2:
        return UNKNOWN
    pooled = bayes_pool([c.estimate for c in rests_on], [c.variance for c in rests_on])
    above = pooled.mean.above(0.0)
    return judge(pooled.mean.mean, pooled.mean.interval, 2 * min(above, 1 - above), limits.pop() if limits else "none")


def figures(judged: list[Judgement], ratio: float) -> list[float]:
    """Share without a ratio; of the others mean error of ln ratio, share of 90 % intervals that hold, verdicts."""
    known = [j for j in judged if j.ratio is not None]
    errors = [math.log(j.ratio / ratio) for j in known if j.bound == "none" and j.ratio is not None]
    holds = [(j.low90 or 0.0) <= ratio <= (j.high90 or math.inf) for j in known]
    return [
        1 - len(known) / len(judged),
        float(np.mean(errors)) if errors else math.nan,
        float(np.mean(holds)) if holds else math.nan,
        float(np.mean([j.verdict in ("clear", "likely") for j in judged])),
        float(np.mean([j.verdict == "clear" for j in judged])),
    ]


TRUTHS = [Truth(wearers, ratio, capped) for wearers in (5, 13) for ratio in (1.0, 2.5) for capped in (0.0, 0.6, 0.95)]


def main() -> None:
    """Print the table."""
    arguments = parser(__file__, __doc__)
    arguments.add_argument("--draws", type=int, default=400, help="databases a row")
    draws = arguments.parse_args().draws
    rows = []
    for truth in TRUTHS:
        judged: tuple[list[Judgement], list[Judgement]] = ([], [])
        for seed in range(draws):
            found = truth.draw(np.random.default_rng([23, seed]))
            judged[0].append(at_their_values([one.contrast for one in found]))
            judged[1].append(over_wearers(found)[0])
        name = (truth.wearers, f"×{truth.ratio:g}", f"{truth.capped:.0%}")
        rows += [
            (*name, how, *figures(one, truth.ratio))
            for how, one in zip(("at value", "likelihood"), judged, strict=True)
        ]
    table(
        "Comparisons over wearers, counters that end at 200",
        ("wearers", "true ratio", "with a ceiling", "limits", "no ratio", "bias, ln", "90 % holds", "likely", "clear"),
        rows,
    )


if __name__ == "__main__":
    main()
