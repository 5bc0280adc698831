"""Exact limits for particle counts, which are Poisson distributed since particles arrive at random.

Given the sum of two counts, one of them is binomial; Clopper–Pearson limits of its share turn into exact limits of the
ratio of the two rates (J. Przyborowski & H. Wilenski, Biometrika 1940;31:313–323; C. J. Clopper & E. S. Pearson,
Biometrika 1934;26:404–413). Counts may be fractional where one stands for several with the same information.

SciPy is imported where it is used: the checker imports this module and must start fast.
"""

import math

from builder.fit.intervals import Interval
from builder.fit.levels import SHOWN_LEVEL, beyond, tails

_LOWER, _UPPER = tails(SHOWN_LEVEL)
_LARGEST_EXPONENT = 700.0


def ratio_limits(upper: float, lower: float, scale: float) -> Interval:
    """95 % Clopper–Pearson limits of the ratio of two counts, `upper` over `lower`, times `scale`; at most one is 0.

    Reckoned from the share of the lower count, which is the small one and so keeps its digits.
    """
    from scipy.special import betaincinv

    most = float(betaincinv(lower + 1, upper, _UPPER)) if upper else 1.0
    least = float(betaincinv(lower, upper + 1, _LOWER)) if lower else 0.0
    return Interval((1 - most) / most * scale, (1 - least) / least * scale if least else math.inf)


def equal_rates_p_value(count: float, other: float, share: float) -> float:
    """Two-sided p that two rates are equal, where `share` is that of the time in which `count` was counted.

    The exact binomial test with equal tails: below 0.05 just where the interval of `ratio_limits` leaves out 1.
    """
    from scipy.special import betainc

    as_few = float(betainc(other, count + 1, 1 - share)) if other else 1.0
    as_many = float(betainc(count, other + 1, share)) if count else 1.0
    return min(1.0, 2 * min(as_few, as_many))


def zero_count_limit(unmasked: float, ambient_particles: float, alpha: float = beyond(SHOWN_LEVEL)) -> float:
    """One-sided lower limit of the fit factor where no particle was counted in the mask.

    `unmasked` is the count the mask segment would have had without a mask: ambient rate × in-mask seconds.
    `ambient_particles` is the ambient count. Close to `unmasked` / 3 at the default (the rule of three);
    `alpha` = 0.5 gives the median bound. Exact: the binomial share has the limit alpha^(1/N). Far less than a particle,
    as low concentrations may stand for, leaves no limit: 0.
    """
    exponent = -math.log(alpha) / ambient_particles
    return unmasked / ambient_particles / math.expm1(exponent) if exponent < _LARGEST_EXPONENT else 0.0


def log_sd(particles: float) -> float:
    """Standard deviation of the logarithm of a rate known from so many particles, under a flat prior on that log."""
    from scipy.special import polygamma

    return math.sqrt(float(polygamma(1, particles)))
