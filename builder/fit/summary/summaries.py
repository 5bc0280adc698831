"""Summaries: median, range and the rest of each configuration, over tests and over wearers."""

from collections.abc import Iterable, Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from builder.fit.levels import PASS_LEVEL
from builder.fit.summary.censoring import grouped_medians
from builder.fit.summary.geometric import grouped_geometric
from builder.fit.summary.shares import wilson

FIGURES = (
    "tests",
    "wearers",
    "set_aside",
    "median_fit_factor",
    "median_at_least",
    "lowest_fit_factor",
    "highest_fit_factor",
    "highest_at_least",
    "geometric_mean",
    "geometric_mean_at_least",
    "gsd",
    "til_percent",
    "wearer_median_fit_factor",
    "wearer_median_at_least",
    "share_at_100",
    "share_at_100_low",
    "share_at_100_high",
    "share_wearers",
)
"""The figures of a summary, in the order of its columns; `summarise_by` says what each is."""


def summarise(table: pd.DataFrame) -> pd.DataFrame:
    """One row a configuration: configuration, mask, parts, then `FIGURES`.

    `table` is the tidy table, a row a test. Rows are sorted by mask, as sold first, then by configuration.
    """
    # An id starts with its mask, so that within a mask the shortest one, as sold, sorts first.
    summary = summarise_by(table, ["mask", "configuration", "parts"])
    return summary[["configuration", "mask", "parts", *FIGURES]]


def summarise_by(table: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """One row for each combination of the columns `keys` in the tidy table, sorted by them: `keys`, then `FIGURES`.

    | figure | over | meaning |
    |---|---|---|
    | tests, wearers, set_aside | | how many count; how many wearers those have; how many tests do not count |
    | median_fit_factor, median_at_least | tests | Kaplan–Meier median |
    | lowest_fit_factor, highest_fit_factor | tests | smallest and largest reading |
    | highest_at_least | tests | an "at least" reading reaches the largest value |
    | geometric_mean, geometric_mean_at_least, gsd | tests | by likelihood, as in `GroupedGeometric` |
    | til_percent | tests | total inward leakage at the median |
    | wearer_median_fit_factor, wearer_median_at_least | wearers | Kaplan–Meier median of each wearer's own |
    | share_at_100 with _low, _high | wearers | share whose own median reaches `PASS_LEVEL`, Wilson's 95 % interval |
    | share_wearers | wearers | taken into that share: all but those only known to be above something lower |

    Only tests that count enter; where there are none, `tests` is 0 and the figures are NaN.
    """
    keys = list(keys)
    first, all_groups = _numbered(table[key] for key in keys)
    named = table[keys].iloc[first].reset_index(drop=True)
    n = len(named)
    counts = table["counted"].to_numpy(dtype=bool)
    groups = all_groups[counts]
    fit_factors = table["fit_factor"].to_numpy(dtype=float)[counts]
    at_least = table["at_least"].to_numpy(dtype=bool)[counts]
    wearers = pd.factorize(table["wearer"])[0][counts]

    tests = np.bincount(groups, minlength=n)
    medians = grouped_medians(fit_factors, at_least, groups, n)
    lowest, highest = _ranges(fit_factors, groups, n)
    geometric = grouped_geometric(fit_factors, at_least, groups, n)

    # One keen wearer with twenty donnings is still one face: medians by wearer, then over wearers.
    everyone = len(table)
    pairs, pair = np.unique(groups * everyone + wearers, return_inverse=True)
    pair_groups = pairs // everyone
    own = grouped_medians(fit_factors, at_least, pair, len(pairs))
    wearer_medians = grouped_medians(own.value, own.at_least, pair_groups, n)
    passes = own.value >= PASS_LEVEL
    # "At least 60" may be a pass or not.
    known = passes | ~own.at_least
    share_wearers = np.bincount(pair_groups[known], minlength=n)
    passing = np.bincount(pair_groups[passes], minlength=n)

    shares = _shares(passing, share_wearers)
    figures = {
        "tests": tests,
        "wearers": np.bincount(pair_groups, minlength=n),
        "set_aside": np.bincount(all_groups[~counts], minlength=n),
        "median_fit_factor": medians.value,
        "median_at_least": medians.at_least,
        "lowest_fit_factor": lowest,
        "highest_fit_factor": highest,
        "highest_at_least": np.bincount(groups[at_least & (fit_factors == highest[groups])], minlength=n) > 0,
        "geometric_mean": geometric.mean,
        "geometric_mean_at_least": geometric.at_least,
        "gsd": geometric.gsd,
        "til_percent": 100 / medians.value,
        "wearer_median_fit_factor": wearer_medians.value,
        "wearer_median_at_least": wearer_medians.at_least,
        **dict(zip(("share_at_100", "share_at_100_low", "share_at_100_high"), shares, strict=True)),
        "share_wearers": share_wearers,
    }
    return pd.DataFrame({**{key: named[key] for key in keys}, **figures})


def _numbered(columns: Iterable[pd.Series]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Number the combinations of words in columns, in the order of the words: a row of each, and that of each row."""
    number: NDArray[np.int64] = np.zeros(1, dtype=np.int64)
    for column in columns:
        places, words = pd.factorize(column, sort=True, use_na_sentinel=False)
        number = number * max(len(words), 1) + places
    _, first, combination = np.unique(number, return_index=True, return_inverse=True)
    return first, combination


def _ranges(
    values: NDArray[np.float64], groups: NDArray[np.intp], n: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    lowest, highest = np.full(n, np.nan), np.full(n, np.nan)
    np.fmin.at(lowest, groups, values)
    np.fmax.at(highest, groups, values)
    return lowest, highest


def _shares(successes: NDArray[np.intp], totals: NDArray[np.intp]) -> NDArray[np.float64]:
    """Share, lower and upper limit as three rows; NaN where the total is 0."""
    shares = np.full((3, len(totals)), np.nan)
    for group in np.flatnonzero(totals):
        passed, total = int(successes[group]), int(totals[group])
        interval = wilson(passed, total)
        shares[:, group] = passed / total, interval.low, interval.high
    return shares
