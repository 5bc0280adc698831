"""Fit factors of a whole test, and the most that a filter allows.

A fit factor is the particle concentration outside the mask over the one inside it; `counting` works that out for one
exercise.
"""

import math
from collections.abc import Sequence


def overall_fit_factor(fit_factors: Sequence[float]) -> float:
    """Fit factor of a whole test: the harmonic mean over its exercises, so that leakages average.

    The caller leaves out the grimace. Raises ValueError for no exercise or one that is not a positive number.
    Source: 29 CFR 1910.134, Appendix A.
    """
    if not fit_factors:
        raise ValueError("An overall fit factor needs at least one exercise.")
    if not all(math.isfinite(fit_factor) and fit_factor > 0 for fit_factor in fit_factors):
        raise ValueError("Every exercise needs a positive fit factor.")
    return len(fit_factors) / math.fsum(1 / fit_factor for fit_factor in fit_factors)


def highest_fit_factor(filter_penetration: float) -> float:
    """Fit factor of a mask whose seal leaks nothing, from the share of particles its filter lets through.

    With seal leak L and filter penetration P, both fractions, 1/FF = L + P(1 − L), so L = 0 leaves 1/P.
    Raises ValueError unless 0 < P ≤ 1.
    """
    if not 0 < filter_penetration <= 1:
        raise ValueError("Filter penetration is a fraction above 0 and at most 1.")
    return 1 / filter_penetration


def seal_leak(fit_factor: float, filter_penetration: float) -> float:
    """Share of what is outside that comes in past the seal: L = (1/FF − P)/(1 − P), 0 where the filter explains all.

    `filter_penetration` P is a fraction, for the same sizes as the fit factor. Raises ValueError unless 0 < P < 1 and
    the fit factor is positive.
    """
    if not 0 < filter_penetration < 1:
        raise ValueError("Filter penetration is a fraction between 0 and 1.")
    if not fit_factor > 0:
        raise ValueError("A fit factor is positive.")
    return max(0.0, (1 / fit_factor - filter_penetration) / (1 - filter_penetration))
