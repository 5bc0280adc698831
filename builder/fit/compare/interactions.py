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
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from builder.fit.arrays import FloatArray
from builder.fit.compare.grid import Grid
from builder.fit.compare.linear import inverse, row_space

INTERACTION_SD = 0.23
"""How far two parts together miss the product of their effects, ln units: ×÷1.26; no published source."""


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
    def _hat(self) -> FloatArray:
        """H, arms × arms."""
        design, even = self.grid.design, np.eye(len(self.grid.y))
        precision = inverse(self.sd**2 * even + self.grid.error)
        weighted = design.T @ precision
        mean = design @ np.linalg.pinv(weighted @ design, hermitian=True) @ weighted
        return np.asarray(mean + self.sd**2 * precision @ (even - mean), dtype=np.float64)

    @cached_property
    def _error(self) -> FloatArray:
        """Covariance of the errors of the arms."""
        away = self._hat - np.eye(len(self._hat))
        return np.asarray(self.sd**2 * away @ away.T + self._hat @ self.grid.error @ self._hat.T, dtype=np.float64)


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
