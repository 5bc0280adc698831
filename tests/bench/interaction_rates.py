"""Interactions shown because they are clear: how often their 95 % intervals hold, plain and shrunk. Fixed seeds.

Run by hand, about two minutes: python -m tests.bench.interaction_rates
"""

import math
from itertools import combinations, product

import numpy as np
import pandas as pd
from scipy.special import stdtr, stdtrit

from builder.fit.arrays import FloatArray
from builder.fit.compare.factorial import fit_interaction
from builder.fit.compare.grid import Grid
from builder.fit.compare.interactions import AveragedArms, pair_weights
from builder.fit.compare.verdicts import holm
from builder.fit.levels import CLEAR_INTERACTION_P
from tests.bench.arguments import parser
from tests.bench.contrast_rates import table

SLOTS = ["straps", "nose_wire", "nose_foam"]
DF = 20.0
"""Degrees of freedom of the scatter."""


def grid_of(
    slots: int, donnings: int, effect: float, donning_sd: float, rng: np.random.Generator
) -> tuple[Grid, FloatArray]:
    """All combinations of parts in so many slots, the first two with an interaction, and the true means."""
    held = np.array(list(product([0, 1], repeat=slots)))
    arms = pd.DataFrame(np.where(held == 1, "part", ""), columns=SLOTS[:slots])
    n = rng.integers(1, donnings + 1, len(held))
    mean = held @ rng.normal(0.4, 0.3, slots) + effect * held[:, 0] * held[:, 1]
    y = mean + rng.normal(0, donning_sd / np.sqrt(n))
    arms = arms.assign(configuration=[str(i) for i in range(len(held))], mean=y)
    variance = donning_sd**2 * rng.chisquare(DF) / DF
    return Grid.of(arms, SLOTS[:slots], np.diag(variance / n)), mean


def coverage(slots: int, donnings: int, effect: float, donning_sd: float, draws: int) -> list[float]:
    """Share of grids with something clear; of what is shown, how often plain and shrunk intervals hold.

    For the interaction and for the conditional effects, of the first pair where it has an effect.
    """
    rng = np.random.default_rng([37, slots, donnings, round(100 * effect)])
    shown = 0
    held: list[list[float]] = []
    for _ in range(draws):
        grid, means = grid_of(slots, donnings, effect, donning_sd, rng)
        pairs = list(combinations(range(slots), 2))
        fits = [fit_interaction(grid, *pair) for pair in pairs]
        unit = np.eye(2 + slots)
        estimates = [fit.estimate(unit[-1]) for fit in fits]
        adjusted = holm([2 * float(stdtr(DF, -abs(value) / se)) for value, se in estimates])
        quantile = float(stdtrit(DF, 0.975))
        shrunk = AveragedArms.of(grid)
        for pair, (value, se), p in zip(pairs, estimates, adjusted, strict=True):
            if p >= CLEAR_INTERACTION_P or (effect and pair != (0, 1)):
                continue
            weights = pair_weights(grid, *pair)
            assert weights is not None
            shown += 1
            plain = [fits[pairs.index(pair)].estimate(unit[1 + pair[0]] + more * unit[-1]) for more in (0, 1)]
            drawn = [shrunk.estimate(one) for one in (weights.apart, weights.together)]
            own, own_se = shrunk.estimate(weights.beyond)
            # Means without noise are what the same weights give.
            true = [float(one @ means) for one in (weights.apart, weights.together)]
            both = [
                float(np.mean([abs(v - t) < quantile * s for (v, s), t in zip(shown_as, true, strict=True)]))
                for shown_as in (plain, drawn)
            ]
            of_pair = [abs(value - effect) < quantile * se, abs(own - effect) < quantile * own_se]
            held.append([*map(float, of_pair), own / value, *both])
    averages = np.mean(held, axis=0) if held else np.full(5, math.nan)
    return [shown / draws, *averages.tolist()]


def main() -> None:
    """Print the table."""
    arguments = parser(__file__, __doc__)
    arguments.add_argument("--draws", type=int, default=4000, help="grids a row")
    draws = arguments.parse_args().draws
    rows = [
        (slots, f"1–{donnings}", f"×{math.exp(effect):g}", sd, *coverage(slots, donnings, effect, sd, draws))
        for slots in (2, 3)
        for donnings in (2, 4)
        for effect in (0.0, math.log(2))
        for sd in (0.3, 0.45)
    ]
    table(
        "Interactions shown because they are clear, nominal 95 %",
        (
            "slots",
            "donnings",
            "true interaction",
            "ln SD",
            "shown",
            "plain holds",
            "shrunk holds",
            "shrunk to",
            "conditional: plain",
            "conditional: shrunk",
        ),
        rows,
    )


if __name__ == "__main__":
    main()
