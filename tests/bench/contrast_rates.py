"""How often verdicts and intervals are wrong, by simulation with fixed seeds: three Markdown tables.

It takes about two minutes.
"""

import math
from collections.abc import Callable, Iterable
from itertools import product

import numpy as np
import pandas as pd
from scipy.special import stdtr, stdtrit
from statsmodels.stats.meta_analysis import combine_effects

from builder.fit.compare import pooling
from builder.fit.compare.factorial import fit_main_effects
from builder.fit.compare.grid import Grid
from builder.fit.compare.interactions import INTERACTION_SD
from builder.fit.compare.linear import inverse, least_squares
from builder.fit.compare.verdicts import holm
from builder.fit.levels import CLEAR_LEVEL, LIKELY_LEVEL, beyond
from tests.bench.arguments import parser


def factorial_coverage(pick: Callable[[np.random.Generator], list[int]], sd: float, draws: int = 4_000) -> list[float]:
    """Share of 95 % intervals that hold a part's effect averaged over a 2³ grid: plain, and as the site computes it.

    Each arm misses the product of its parts by a normal deviation of `sd` (ln); one or two donnings of GSD 1.5,
    scatter known with 20 degrees of freedom.
    """
    rng = np.random.default_rng([11, round(100 * sd)])
    slots = ["straps", "nose_wire", "edge"]
    options = pd.DataFrame(list(product(["", "part"], repeat=3)), columns=slots)
    grid_arms = options.assign(configuration=[str(i) for i in range(8)])
    held = np.zeros(3)
    for _ in range(draws):
        deviation = rng.normal(0, sd, 8)
        true = deviation[4:].mean() - deviation[:4].mean()
        n = rng.integers(1, 3, 8)
        arms = grid_arms.assign(mean=deviation + rng.normal(0, math.log(1.5) / np.sqrt(n)))
        tried = pick(rng)
        sampling = np.diag(math.log(1.5) ** 2 * rng.chisquare(20) / 20 / n[tried])
        grid = Grid.of(arms.iloc[tried], slots, sampling)
        total = sampling + INTERACTION_SD**2 * np.eye(len(tried))
        fits = (
            least_squares(grid.design, grid.y, inverse(sampling), sampling),
            least_squares(grid.design, grid.y, inverse(total), total),
            fit_main_effects(grid),
        )
        for method, fit in enumerate(fits):
            half = float(stdtrit(20, 0.975)) * math.sqrt(fit.covariance[1, 1])
            held[method] += abs(fit.coefficients[1] - true) < half
    return [float(share) for share in held / draws]


def some(count: int) -> Callable[[np.random.Generator], list[int]]:
    """Any so many arms of the grid that tell all three parts."""
    design = np.column_stack([np.ones(8), list(product([0, 1], repeat=3))])

    def pick(rng: np.random.Generator) -> list[int]:
        while True:
            chosen = sorted(rng.choice(8, count, replace=False).tolist())
            if np.linalg.matrix_rank(design[chosen]) == 4:
                return chosen

    return pick


def pooling_coverage(k: int, tau: float, draws: int = 2_000) -> list[float]:
    """Coverage and geometric mean width of 95 % intervals of the mean and of a new effect, k contrasts.

    Contrasts of one to three donnings a side, ln SD 0.41, mean effect drawn from N(0, 0.58²).
    """
    rng = np.random.default_rng([13, k, round(100 * tau)])
    found = np.zeros((draws, 5))
    for draw in range(draws):
        mean = rng.normal(0, 0.58)
        variances = 0.41**2 * (1 / rng.integers(1, 4, k) + 1 / rng.integers(1, 4, k))
        effects = rng.normal(mean, np.sqrt(tau**2 + variances))
        paule_mandel = combine_effects(effects, variances, method_re="iterated").tau2
        classical = pooling.random_effects(effects, variances, paule_mandel, hartung_knapp=True).interval()
        posterior = pooling.bayes_pool(effects, variances)
        bayes, new = posterior.mean.interval(0.95), posterior.new.interval(0.95)
        found[draw] = (
            classical.low < mean < classical.high,
            classical.high - classical.low,
            bayes.low < mean < bayes.high,
            bayes.high - bayes.low,
            new.low < rng.normal(mean, tau) < new.high,
        )
    averages = found.mean(axis=0)
    averages[[1, 3]] = np.exp(averages[[1, 3]])
    return [float(average) for average in averages]


def list_verdicts(size: int, ratio: float, draws: int = 20_000) -> list[float]:
    """Shares of lists: with a false "clear", by each comparison and as adjusted; with a false "likely", likewise.

    Then how often the one change that does something, by `ratio`, is called likely or clear, likewise. Every change is
    set against one arm as sold, three donnings each, ln SD 0.45 known with 20 degrees of freedom.
    """
    rng = np.random.default_rng([17, size, round(100 * ratio)])
    arms = rng.normal(0, 0.45 / math.sqrt(3), (draws, size + 1))
    se = 0.45 * np.sqrt(rng.chisquare(20, draws) / 20 * 2 / 3)
    differences = (arms[:, 1:] - arms[:, :1]) / se[:, None]
    alone = 2 * stdtr(20, -np.abs(differences))
    real = 2 * stdtr(20, -np.abs(differences[:, 0] + math.log(ratio) / se))
    with_one = np.column_stack([real, alone[:, 1:]])
    adjusted, with_one_adjusted = (np.array([holm(list_) for list_ in p]) for p in (alone, with_one))
    shares = [
        (alone < beyond(CLEAR_LEVEL)).any(axis=1),
        (adjusted < beyond(CLEAR_LEVEL)).any(axis=1),
        (alone < beyond(LIKELY_LEVEL)).any(axis=1),
        (adjusted < beyond(LIKELY_LEVEL)).any(axis=1),
        real < beyond(LIKELY_LEVEL),
        with_one_adjusted[:, 0] < beyond(LIKELY_LEVEL),
    ]
    return [float(share.mean()) for share in shares]


def table(title: str, head: Iterable[str], rows: Iterable[Iterable[object]]) -> None:
    """Print a Markdown table."""
    head = list(head)
    print(f"\n{title}\n")
    for row in (head, ["---"] * len(head), *rows):
        print("|", " | ".join(f"{cell:.3f}" if isinstance(cell, float) else str(cell) for cell in row), "|")


def main() -> None:
    """Print the three tables."""
    grids = {
        "all 8": (lambda _: list(range(8)), 0.46),
        "7 of 8": (some(7), 0.46),
        "5 of 8": (some(5), 0.46),
        "one part at a time, 0.23": (lambda _: [0, 1, 2, 4], 0.23),
        "one part at a time": (lambda _: [0, 1, 2, 4], 0.46),
    }
    table(
        "Coverage of a nominal 95 % interval of an effect averaged over the 2³ grid",
        ("combinations tested", "interaction SD (ln)", "plain", "random deviations", "as shown"),
        ((name, str(sd), *factorial_coverage(pick, sd)) for name, (pick, sd) in grids.items()),
    )
    table(
        "Pooling k contrasts, nominal 95 %",
        ("k", "τ (ln)", "Hartung–Knapp", "width ×", "half-normal prior", "width ×", "new face"),
        (
            (k, str(tau), *pooling_coverage(k, tau))
            for k, tau in [(2, 0.23), (3, 0.58), (6, 0.58), (10, 0.58), (20, 0.23)]
        ),
    )
    table(
        "Lists of changes beside one mask as sold: of lists where nothing differs, and of one true ratio among others",
        ("changes", "true ratio", "clear", "adjusted", "likely", "adjusted", "true one likely", "adjusted"),
        ((n, f"×{ratio:g}", *list_verdicts(n, ratio)) for n, ratio in [(1, 2), (3, 2), (10, 2), (3, 4), (10, 4)]),
    )


if __name__ == "__main__":
    parser(__file__, __doc__).parse_args()
    main()
