"""Geometric mean and geometric standard deviation of fit factors, "at least" readings among them."""

from dataclasses import dataclass

import numpy as np

from builder.fit.arrays import BoolArray, FloatArray, IntArray
from builder.fit.summary.censored_normal import grouped_censored_normal


@dataclass(frozen=True)
class GroupedGeometric:
    """Geometric `mean` and `gsd` of each group; `at_least` marks a mean that is only a lower limit.

    Without limits the GSD has n − 1 in its denominator. With them both are of maximum likelihood, ln GSD times
    √(m/(m − 1)) for m exact readings. That takes two exact readings that differ; else the mean takes limits at their
    values and is "at least", and the GSD is NaN. Empty groups are NaN, as is the GSD of a single reading.
    """

    mean: FloatArray
    gsd: FloatArray
    at_least: BoolArray


def grouped_geometric(values: FloatArray, at_least: BoolArray, groups: IntArray, n: int) -> GroupedGeometric:
    """Geometric figures of `n` groups: values (above 0), their "at least" flags, and the number of each one's group."""
    logs = np.log(values)
    tests = np.bincount(groups, minlength=n)
    exact = np.bincount(groups, ~at_least, n)
    limited = exact < tests
    centre = np.bincount(groups, logs, n) / np.where(tests > 0, tests, np.nan)
    squares = np.bincount(groups, (logs - centre[groups]) ** 2, n)
    spread = np.sqrt(squares / np.where(tests > 1, tests - 1, np.nan))
    likeliest = grouped_censored_normal(logs, at_least, groups, n)
    corrected = likeliest.sigma * np.sqrt(exact / np.where(exact > 1, exact - 1, np.nan))
    unknown = limited & np.isnan(likeliest.mu)
    return GroupedGeometric(
        mean=np.exp(np.where(limited & ~unknown, likeliest.mu, centre)),
        gsd=np.exp(np.where(limited, corrected, spread)),
        at_least=unknown,
    )
