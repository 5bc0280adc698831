"""What parts do over masks and wearers: how often intervals hold with one spread and with three. Fixed seeds.

Run by hand, about ten minutes: python -m tests.bench.hack_rates
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.crossed_pooling import pool_crossed
from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.limits import LimitedArm, LimitedDifference
from builder.fit.compare.methods import MethodScales
from builder.fit.compare.pooling import Mixture, bayes_pool
from builder.fit.intervals import Interval
from tests.bench.arguments import parser
from tests.bench.contrast_rates import table

VARIANCE = 0.45**2
CEILING = math.log(200)


@dataclass(frozen=True)
class Truth:
    """`k` contrasts on different pairs of `masks` and `wearers`; effects differ by mask (a), wearer (b) and rest (c).

    With `keen`, half of the contrasts are of the first wearer. A `capped` share of counters ends at 200. In a `mixed`
    share of contrasts the part was measured by another method than without it. `mean` is the ln effect on average,
    drawn anew for each database where it is None.
    """

    k: int
    masks: int
    wearers: int
    a: float
    b: float
    c: float
    keen: bool = False
    capped: float = 0.0
    mixed: float = 0.0
    mean: float | None = None

    def pairs(self, rng: np.random.Generator) -> tuple[IntArray, IntArray]:
        """Mask and wearer of each contrast."""
        every = rng.permutation(self.masks * self.wearers)
        if self.keen:
            own = every[every % self.wearers == 0]
            half = self.k // 2
            every = np.concatenate([own[:half], np.setdiff1d(every, own, assume_unique=True)[: self.k - half]])
        chosen = every[: self.k]
        return chosen // self.wearers, chosen % self.wearers


@dataclass(frozen=True)
class Drawn:
    """A database with its true mean and effects of masks."""

    contrasts: list[JointDifference]
    shared: FloatArray
    """Loading of each contrast on the error of what the methods differ by, (k, 1)."""
    masks: IntArray
    wearers: IntArray
    mean: float
    by_mask: FloatArray


def draw(truth: Truth, rng: np.random.Generator) -> Drawn:
    """Contrasts of one to three donnings a side."""
    mask, wearer = truth.pairs(rng)
    mean = rng.normal(0, 0.58) if truth.mean is None else truth.mean
    of_mask = rng.normal(0, truth.a, truth.masks)
    effect = mean + of_mask[mask] + rng.normal(0, truth.b, truth.wearers)[wearer] + rng.normal(0, truth.c, truth.k)
    capped = rng.random(truth.wearers) < truth.capped
    # Nothing is known of the methods but the prior: another protocol on another kind of instrument.
    scales, mixed = MethodScales(), np.zeros(truth.k)
    sd = math.hypot(scales.protocol, scales.instrument)
    if truth.mixed:
        mixed = np.where(rng.random(truth.k) < truth.mixed, 1.0, 0.0)
        effect = effect + mixed * (rng.normal(0, sd) + rng.normal(0, scales.wearer, truth.wearers)[wearer])
    contrasts = []
    for one, own, other in zip(effect, capped[wearer], mixed, strict=True):
        level = rng.normal(math.log(80), 0.6)
        n = rng.integers(1, 4, 2)
        ceiling = CEILING if own else math.inf
        sides = []
        for centre, size in zip((level, level + one), n, strict=True):
            values = np.minimum(rng.normal(centre, VARIANCE**0.5, size), ceiling)
            sides.append(LimitedArm.of(values, values == ceiling, VARIANCE))
        without, with_ = sides
        if without.limits or with_.limits:
            contrasts.append(JointDifference(0.0, math.inf, (LimitedDifference(without, with_),)))
        else:
            contrasts.append(
                JointDifference(with_.mean - without.mean, VARIANCE * float((1 / n).sum()) + other * scales.wearer**2)
            )
    return Drawn(contrasts, np.asarray(sd * mixed[:, None], dtype=np.float64), mask, wearer, mean, of_mask)


def held(interval: Interval, means: FloatArray, sd: float) -> float:
    """Chance that a new normal effect lies within, on average over the means; the means themselves where `sd` is 0."""
    if sd == 0:
        return float(np.mean((interval.low < means) & (means < interval.high)))
    return float(np.mean(ndtr((interval.high - means) / sd) - ndtr((interval.low - means) / sd)))


def figures(truth: Truth, drawn: Drawn, mean: Mixture, listed: Mixture, other: Mixture) -> list[float]:
    """Error of the mean, whether its 95 % interval holds and its width, how often those of new faces hold."""
    own, person = mean.interval(0.95), math.hypot(truth.b, truth.c)
    centre = np.array([drawn.mean])
    return [
        mean.mean - drawn.mean,
        held(own, centre, 0.0),
        own.high - own.low,
        held(listed.interval(0.95), drawn.mean + drawn.by_mask[np.unique(drawn.masks)], person),
        held(other.interval(0.95), centre, math.hypot(person, truth.a)),
    ]


def rates(truth: Truth, draws: int) -> list[list[float]]:
    """Averages of `figures`: with one spread, where exact contrasts alone are pooled, and with three."""
    found: list[list[list[float]]] = [[], []]
    for seed in range(draws):
        drawn = draw(truth, np.random.default_rng([29, truth.k, truth.masks, seed]))
        exact = [one for one in drawn.contrasts if one.exact]
        if exact:
            pooled = bayes_pool([one.estimate for one in exact], [one.variance for one in exact])
            found[0].append(figures(truth, drawn, pooled.mean, pooled.new, pooled.new))
        telling = [i for i, one in enumerate(drawn.contrasts) if one.bound != "both"]
        crossed = pool_crossed(
            [drawn.contrasts[i] for i in telling],
            [str(m) for m in drawn.masks[telling]],
            [str(w) for w in drawn.wearers[telling]],
            drawn.shared[telling] if truth.mixed else None,
        )
        found[1].append(figures(truth, drawn, crossed.mean, crossed.new_face, crossed.new_mask))
    averages = [np.mean(rows, axis=0) for rows in found]
    for average in averages:
        average[2] = math.exp(average[2])
    return [average.tolist() for average in averages]


DESIGNS = {
    "16 of 4 masks × 9 wearers": (16, 4, 9),
    "8 masks of 1 wearer": (8, 8, 1),
    "8 wearers of 1 mask": (8, 1, 8),
    "40 of 10 masks × 20 wearers": (40, 10, 20),
}
SPREADS = [(0.0, 0.0, 0.0), (0.35, 0.35, 0.0), (0.5, 0.5, 0.2), (0.0, 0.5, 0.0)]
TRUTHS = [
    *((name, Truth(*design, *spreads)) for name, design in DESIGNS.items() for spreads in SPREADS),
    *(
        (f"12 masks × 8 wearers, k {k}, one keen", Truth(k, 12, 8, *s, keen=True))
        for k in (10, 20)
        for s in SPREADS[1:3]
    ),
    ("10, one keen, wearers alone", Truth(10, 12, 8, 0.0, 0.6, 0.0, keen=True)),
    *(
        (f"16 of 4 × 9, ×2.5, {capped:.0%} end at 200", Truth(16, 4, 9, *s, capped=capped, mean=math.log(2.5)))
        for capped in (0.6, 0.95)
        for s in SPREADS[:3]
    ),
    *(
        (f"40 of 10 × 20, {mixed:.0%} by another method", Truth(40, 10, 20, *SPREADS[1], mixed=mixed))
        for mixed in (0.25, 0.9)
    ),
    ("40 of 10 × 20, ×2.5, 60% end at 200", Truth(40, 10, 20, *SPREADS[1], capped=0.6, mean=math.log(2.5))),
    ("40 of 10 × 20, ×2.5, 95% end at 200", Truth(40, 10, 20, *SPREADS[1], capped=0.95, mean=math.log(2.5))),
]


def main() -> None:
    """Print the table."""
    arguments = parser(__file__, __doc__)
    arguments.add_argument("--draws", type=int, default=200, help="databases a row")
    arguments.add_argument("--only", default="", help="only rows whose name holds it")
    options = arguments.parse_args()
    table(
        "Pooling a part over masks and wearers, nominal 95 %",
        ("contrasts", "a, b, c", "spreads", "bias, ln", "mean holds", "width ×", "new face, mask of list", "new mask"),
        (
            (name, f"{truth.a:g}, {truth.b:g}, {truth.c:g}", spreads, *row)
            for name, truth in TRUTHS
            if options.only in name
            for spreads, row in zip((1, 3), rates(truth, options.draws), strict=True)
        ),
    )


if __name__ == "__main__":
    main()
