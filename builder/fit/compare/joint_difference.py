"""What one wearer tells of a part on one mask: exact backgrounds and such with limits, all of one difference."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from builder.fit.arrays import FloatArray
from builder.fit.compare.limits import LimitedDifference
from builder.fit.compare.verdicts import Bound


@dataclass(frozen=True)
class JointDifference:
    """A difference of ln FF, part less none: N(`estimate`, `variance`) from exact backgrounds, and the `limited` ones.

    `variance` is infinite where no background is exact. Backgrounds without any exact reading are left out.
    """

    estimate: float
    variance: float
    limited: tuple[LimitedDifference, ...] = ()

    @property
    def exact(self) -> bool:
        """Whether the likelihood is the normal alone."""
        return not self.limited

    @property
    def bound(self) -> Bound:
        """As in `LimitedDifference`: one side, none, or both where it tells nothing."""
        if np.isfinite(self.variance):
            return "none"
        bounds = {one.bound for one in self.limited}
        return "both" if not bounds else bounds.pop() if len(bounds) == 1 else "none"

    @property
    def ends(self) -> tuple[float, float]:
        """Beyond these the likelihood changes no more."""
        ends = [one.middle + sign * one.reach for one in self.limited for sign in (-1, 1)]
        if np.isfinite(self.variance):
            ends += [self.estimate + sign * 8 * self.variance**0.5 for sign in (-1, 1)]
        return min(ends), max(ends)

    @property
    def narrowest(self) -> float:
        """Standard deviation of the difference, were all readings exact."""
        return float(sum((one.narrowest**-2 for one in self.limited), 1 / self.variance) ** -0.5)

    @property
    def middle(self) -> float:
        """The difference with limits at their values, by precision."""
        weights = [1 / self.variance, *(one.narrowest**-2 for one in self.limited)]
        middles = [self.estimate, *(one.middle for one in self.limited)]
        return float(np.average(middles, weights=weights))

    def without_extra(self) -> tuple["JointDifference", float]:
        """The same without the variance beyond donnings of its only part, and that variance; 0 of several parts."""
        if len(self.limited) != 1 or np.isfinite(self.variance):
            return self, 0.0
        (one,) = self.limited
        return replace(self, limited=(replace(one, extra=0.0),)), one.extra

    def log_likelihood(self, difference: ArrayLike) -> FloatArray:
        """Log likelihood of some differences, up to a constant."""
        d = np.asarray(difference, dtype=np.float64)
        log = -0.5 * (d - self.estimate) ** 2 / self.variance
        for one in self.limited:
            log = log + one.log_likelihood(d)
        return np.asarray(log)
