"""How it was measured: what methods differ by, on ln FF, and what that does to a contrast.

The method of a test is its protocol, kind of instrument and size selection. A method reads ln FF higher by the sum of
what its three levels add, and by something of its own on each wearer:

    δ = protocol + instrument + size selection + (wearer × method)

Only differences between methods matter. Before any bridging test they are normal around 0, with the standard deviations
of `MethodScales`; `bridging.estimate_methods` learns from a database.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from builder.fit.arrays import FloatArray

METHOD = ["protocol", "instrument", "size_selection"]
"""Columns of the tidy table that make a method; "" where it is not told."""


@dataclass(frozen=True, order=True)
class Method:
    """How a test was measured, in the words of the tidy table."""

    protocol: str
    instrument: str
    size_selection: str

    @property
    def levels(self) -> tuple[tuple[str, str], ...]:
        """Each column with its value."""
        return tuple((name, str(getattr(self, name))) for name in METHOD)


@dataclass(frozen=True)
class MethodScales:
    """Standard deviation, ln units, of the difference that a change of each makes; `wearer` of how people differ in it.

    The defaults are where the priors are centred: common practice, no published source.
    """

    protocol: float = 0.3
    instrument: float = 0.5
    size_selection: float = 0.7
    wearer: float = 0.2

    def of_levels(self, levels: Sequence[tuple[str, str]]) -> FloatArray:
        """Standard deviation of each level by itself: that of a difference over √2."""
        return np.asarray([getattr(self, name) / 2**0.5 for name, _ in levels], dtype=np.float64)


@dataclass(frozen=True)
class Adjustment:
    """What to take off ln(B/A) where B and A were measured by different methods.

    `estimate` is what B's method adds to ln FF beside A's. Its `variance` is |`loading`|² + `own`. The first is of
    errors that all contrasts between methods share: entry j multiplies the j-th of some independent standard normal
    ones. The second is what differs from wearer to wearer.
    """

    estimate: float
    loading: tuple[float, ...]
    own: float

    @property
    def factor(self) -> float:
        """How many times as high B's method reads as A's."""
        return float(np.exp(self.estimate))

    @property
    def variance(self) -> float:
        """Of the estimate, on a wearer without bridging tests."""
        return sum(part * part for part in self.loading) + self.own


@dataclass(frozen=True)
class MethodEffects:
    """What levels add to ln FF, with covariance, and on how many wearers' tests that rests.

    `levels` lists (column, value). Wearers with `bridging` tests, and such with readings from `inside` a donning.
    """

    scales: MethodScales
    levels: tuple[tuple[str, str], ...]
    mean: FloatArray
    covariance: FloatArray
    bridging: int = 0
    inside: int = 0

    @classmethod
    def unknown(cls, methods: Iterable[Method], scales: MethodScales = MethodScales()) -> "MethodEffects":
        """Before any bridging test."""
        levels = tuple(sorted({level for method in methods for level in method.levels}))
        return cls(scales, levels, np.zeros(len(levels)), np.diag(scales.of_levels(levels) ** 2))

    def adjustment(self, a: Method, b: Method) -> Adjustment:
        """What B's method adds to ln FF beside A's; nothing where they are the same. KeyError for an unlisted level."""
        return replace(self.between({a: 1.0}, {b: 1.0}), own=0.0 if a == b else self.scales.wearer**2)

    def between(self, a: Mapping[Method, float], b: Mapping[Method, float]) -> Adjustment:
        """What B's methods add to ln FF beside A's on average, from the share of each; `own` is left out."""
        row = np.zeros(len(self.levels))
        for sign, shares in ((-1, a), (1, b)):
            for method, share in shares.items():
                for level in method.levels:
                    row[self._number[level]] += sign * share
        row[np.abs(row) < 1e-12] = 0.0
        return Adjustment(float(row @ self.mean), tuple((row @ self.root).tolist()), 0.0)

    @cached_property
    def _number(self) -> Mapping[tuple[str, str], int]:
        return {level: number for number, level in enumerate(self.levels)}

    @cached_property
    def root(self) -> FloatArray:
        """A matrix R with R R′ the covariance, so that `row @ R` holds independent parts of the error of a row."""
        return np.asarray(np.linalg.cholesky(self.covariance), dtype=np.float64)
