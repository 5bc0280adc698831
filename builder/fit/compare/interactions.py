"""What two parts do together, shrunk: the figures to show of an interaction that was picked because it stands out.

Of many interactions those that look clear are mostly those that chance helped, so that their plain intervals hold far
less often than they claim. So each arm is taken to miss the product of its parts by a normal deviation, such that the
interaction of two parts in a grid of three has an SD of 0.23 in ln (`INTERACTION_SD`). With true values
η = Xβ + e, e ~ N(0, s²), and arm means y = η + ε, ε of covariance D, the best linear prediction of η is H y (Henderson,
Biometrics 1975;31:423–447):

    V = s² I + D,   M = X (X′V⁻¹X)⁻ X′V⁻¹,   H = M + s² V⁻¹ (I − M)
    error of u′H y about u′η:  variance  u′ (s² (H − I)(H − I)′ + H D H′) u

where u gives what is wanted as a sum over arms: plain least squares' weights for a part alone, with the other, or for
their interaction.

An SD held at that would hide the few interactions that are large, so it is averaged over: ln s normal around it and
weighed by the restricted likelihood of the arms.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from builder.fit.arrays import FloatArray
from builder.fit.compare.grid import Grid
from builder.fit.compare.linear import inverse, row_space

INTERACTION_SD = 0.23
"""How far two parts together miss the product of their effects, ln units: ×÷1.26; no published source."""
SD_SPREAD = 0.5
"""Of the normal prior of the logarithm of that SD."""
STEPS = np.linspace(-1.5, 1.5, 5)
"""Where it is averaged, in prior spreads."""


@dataclass(frozen=True)
class ShrunkArms:
    """Arms of one wearer and mask, drawn towards the product of their parts.

    `sd` (ln) is that of an arm beside the product of its parts.
    """

    grid: Grid
    sd: float = INTERACTION_SD / 2**0.5

    def estimate(self, weights: FloatArray) -> tuple[float, float]:
        """A sum over arms of true ln FF with its standard error."""
        return float(weights @ self._hat @ self.grid.y), float(np.sqrt(weights @ self._error @ weights))

    @cached_property
    def log_evidence(self) -> float:
        """Restricted log likelihood of the arms at this SD, up to a constant."""
        basis, sizes, _ = np.linalg.svd(self.grid.design, full_matrices=False)
        basis = basis[:, sizes > 1e-9 * sizes[0]]
        away = self.grid.y - self._mean @ self.grid.y
        within = np.linalg.slogdet(basis.T @ self._precision @ basis)[1]
        return -0.5 * float(within - np.linalg.slogdet(self._precision)[1] + away @ self._precision @ away)

    @cached_property
    def _precision(self) -> FloatArray:
        """V⁻¹, arms × arms."""
        return inverse(self.sd**2 * np.eye(len(self.grid.y)) + self.grid.error)

    @cached_property
    def _mean(self) -> FloatArray:
        """M, arms × arms."""
        weighted = self.grid.design.T @ self._precision
        fit = np.linalg.pinv(weighted @ self.grid.design, hermitian=True)
        return np.asarray(self.grid.design @ fit @ weighted, dtype=np.float64)

    @cached_property
    def _hat(self) -> FloatArray:
        """H, arms × arms."""
        even = np.eye(len(self.grid.y))
        return np.asarray(self._mean + self.sd**2 * self._precision @ (even - self._mean), dtype=np.float64)

    @cached_property
    def _error(self) -> FloatArray:
        """Covariance of the errors of the arms."""
        away = self._hat - np.eye(len(self._hat))
        return np.asarray(self.sd**2 * away @ away.T + self._hat @ self.grid.error @ self._hat.T, dtype=np.float64)


@dataclass(frozen=True)
class AveragedArms:
    """Arms drawn towards the product of their parts, averaged over how far they miss it; `shares` add up to 1."""

    arms: tuple[ShrunkArms, ...]
    shares: FloatArray

    @classmethod
    def of(cls, grid: Grid) -> "AveragedArms":
        """The arms of a grid."""
        arms = tuple(ShrunkArms(grid, float(sd)) for sd in INTERACTION_SD / 2**0.5 * np.exp(SD_SPREAD * STEPS))
        log = np.array([one.log_evidence for one in arms]) - 0.5 * STEPS**2
        shares = np.exp(log - log.max())
        return cls(arms, shares / shares.sum())

    def estimate(self, weights: FloatArray) -> tuple[float, float]:
        """A sum over arms of true ln FF with its standard error."""
        means, errors = np.array([one.estimate(weights) for one in self.arms]).T
        mean = float(self.shares @ means)
        return mean, float(np.sqrt(self.shares @ (errors**2 + (means - mean) ** 2)))


@dataclass(frozen=True)
class PairWeights:
    """Weights over arms that give what the first of two parts does `apart` from the second and `together` with it.

    `beyond` gives what the two do beyond the product of their effects.
    """

    apart: FloatArray
    together: FloatArray
    beyond: FloatArray


def pair_weights(grid: Grid, first: int, second: int) -> PairWeights | None:
    """Plain least squares' weights for two columns of the grid; None where its arms cannot tell them apart."""
    product = grid.fitted[:, first] * grid.fitted[:, second]
    design = np.column_stack([grid.design, product])
    space = row_space(design)
    unit = np.eye(design.shape[1])
    wanted = unit[1 + first], unit[1 + second], unit[-1]
    if any(np.abs(space @ one - one).max() > 1e-7 for one in wanted):
        return None
    solver = np.linalg.pinv(design)
    return PairWeights(solver[1 + first], solver[1 + first] + solver[-1], solver[-1])
