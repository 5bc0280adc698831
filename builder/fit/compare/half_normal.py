"""Grids for standard deviations with half-normal priors."""

from dataclasses import dataclass

import numpy as np

from builder.fit.arrays import FloatArray
from builder.fit.intervals import Interval

END = 3.0
"""The grid ends at this many prior scales."""


@dataclass(frozen=True)
class HalfNormalGrid:
    """Values of a standard deviation, denser near 0: END · scale · x^1.5 at the middles of even steps of x.

    x runs from `low` to `high`, 0 to 1 at first.
    """

    scale: float
    nodes: int = 7
    low: float = 0.0
    high: float = 1.0

    @property
    def edges(self) -> FloatArray:
        """Ends of the steps, nodes + 1."""
        return END * self.scale * np.linspace(self.low, self.high, self.nodes + 1) ** 1.5

    @property
    def values(self) -> FloatArray:
        """The standard deviations."""
        return END * self.scale * self._middles**1.5

    @property
    def weights(self) -> FloatArray:
        """Prior weight of each, up to a constant: density times the width of its step, sum 1."""
        weight = np.exp(-0.5 * (self.values / self.scale) ** 2) * np.sqrt(self._middles)
        return np.asarray(weight / weight.sum())

    @property
    def _middles(self) -> FloatArray:
        return self.low + (self.high - self.low) * (np.arange(self.nodes) + 0.5) / self.nodes

    def interval(self, weights: FloatArray, level: float) -> Interval:
        """Interval with equal tails of the posterior `weights`, each spread evenly over its step."""
        below = np.concatenate([[0.0], np.cumsum(weights)]) / weights.sum()
        low, high = np.interp([(1 - level) / 2, (1 + level) / 2], below, self.edges)
        return Interval(float(low), float(high))

    def narrowed(self, weights: FloatArray) -> "HalfNormalGrid":
        """The steps that hold all but a thousandth of the posterior `weights` at either end, as a grid of its own."""
        share = weights / weights.sum()
        first = int(np.argmax(np.cumsum(share) > 1e-3))
        last = self.nodes - int(np.argmax(np.cumsum(share[::-1]) > 1e-3))
        step = (self.high - self.low) / self.nodes
        return HalfNormalGrid(self.scale, self.nodes, self.low + first * step, self.low + last * step)
