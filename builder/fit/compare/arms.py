"""The tests of one configuration on one wearer, summed up, and the difference between two such arms.

An arm with an "at least" reading takes every limit at its value. Each is no more than what it stands for, so the
arm's mean is a lower limit of the true one. What such readings scatter says nothing, so the arm brings no
variance of its own and rests on the scatter of its wearer.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from builder.fit.arrays import FloatArray
from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.compare.scatter import ARM


@dataclass(frozen=True)
class Arm:
    """One arm, or many in arrays of one shape: `n` tests, `mean` and `variance` of ln FF, `df` of that variance.

    `variance` counts for nothing where `df` is 0; `any_at_least` makes the mean a lower limit.
    """

    n: FloatArray
    mean: FloatArray
    variance: FloatArray
    df: FloatArray
    any_at_least: NDArray[np.bool_]

    @classmethod
    def of(cls, values: ArrayLike, at_least: ArrayLike | None = None) -> "Arm":
        """The arm of one or more values of ln FF, with their "at least" flags."""
        y = np.asarray(values, dtype=np.float64)
        limited = at_least is not None and bool(np.any(np.asarray(at_least)))
        df = 0 if limited else len(y) - 1
        variance = float(np.var(y, ddof=1)) if df else 0.0
        return cls(
            n=np.array([float(len(y))]),
            mean=np.array([y.mean()]),
            variance=np.array([variance]),
            df=np.array([float(df)]),
            any_at_least=np.array([limited]),
        )

    def take(self, places: ArrayLike) -> "Arm":
        """The arms at some places of the arrays."""
        at = np.asarray(places, dtype=np.intp)
        return Arm(self.n[at], self.mean[at], self.variance[at], self.df[at], self.any_at_least[at])

    @classmethod
    def columns(cls, arms: pd.DataFrame, suffix: str = "") -> "Arm":
        """The arms in the rows of `arm_statistics`, or of such frames joined with suffixes."""
        return cls(
            n=arms["n" + suffix].to_numpy(np.float64),
            mean=arms["mean" + suffix].to_numpy(np.float64),
            variance=arms["variance" + suffix].to_numpy(np.float64),
            df=arms["df" + suffix].to_numpy(np.float64),
            any_at_least=arms["any_at_least" + suffix].to_numpy(bool),
        )


@dataclass(frozen=True)
class Difference:
    """B − A on ln FF: the `estimate` with its sampling `variance`, of which `moderated` is one donning's part.

    Student's t with `df` degrees of freedom. `bound` as in `verdicts.Bound`. All fields are arrays of one shape.
    """

    estimate: FloatArray
    variance: FloatArray
    moderated: FloatArray
    df: FloatArray
    bound: NDArray[np.str_]


def difference(a: Arm, b: Arm, scatter: NestedScatter, wearers: Sequence[str]) -> Difference:
    """Difference of the means of two arms of each wearer, each arm on its own moderated variance."""
    parts = np.stack([scatter.moderated(arm.variance, arm.df, wearers) / arm.n for arm in (a, b)])
    variance = parts.sum(axis=0)
    df = scatter.degrees(parts / variance, np.stack([a.df, b.df]), wearers)
    return Difference(b.mean - a.mean, variance, variance / (1 / a.n + 1 / b.n), df, bound_of(a, b))


def bound_of(a: Arm, b: Arm) -> NDArray[np.str_]:
    """Whether each B − A is a value or a limit, as in `verdicts.Bound`."""
    return np.select(
        [a.any_at_least & b.any_at_least, b.any_at_least, a.any_at_least], ["both", "at_least", "at_most"], "none"
    )


def arm_statistics(table: pd.DataFrame, scatter: NestedScatter, beside: Sequence[str] = ()) -> pd.DataFrame:
    """One row for each configuration × wearer × facial hair with tests that count, sorted by these.

    Columns: `configuration`, `wearer`, `facial_hair`; `n` tests, `mean` and `variance` of ln FF, `df` of that variance
    (0 and 0.0 for a single test or any "at least" reading), `any_at_least`; `moderated`, the variance of one donning
    as `nested_scatter` has it. Columns named in `beside`, constant within a configuration, are carried along.
    """
    counted = table[table["counted"]]
    keys = [*ARM, *beside]
    groups = counted.assign(y=np.log(counted["fit_factor"])).groupby(keys, observed=True)
    arms = groups.agg(n=("y", "size"), mean=("y", "mean"), variance=("y", "var"), any_at_least=("at_least", "any"))
    arms = arms.reset_index()
    arms["any_at_least"] = arms["any_at_least"].astype(bool)
    arms["df"] = np.where(arms["any_at_least"], 0, arms["n"] - 1)
    arms["variance"] = np.where(arms["df"] > 0, arms["variance"], 0.0)
    arms["moderated"] = scatter.moderated(arms["variance"], arms["df"], arms["wearer"].tolist())
    return arms
