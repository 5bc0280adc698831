"""Fit factors: of one exercise, of a whole test, and what they say about leakage.

A fit factor is the particle concentration outside the mask over the one inside it. The formulas are those of
29 CFR 1910.134, Appendix A (values from memory; that the grimace is left out is read in 74 FR 3526).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

PASS_LEVEL = 100.0
"""The fit factor a half mask, filtering facepieces included, must reach: 29 CFR 1910.134(f)(7)."""


@dataclass(frozen=True)
class PassLevel:
    """The least fit factor that passes: where, for which kind of facepiece, and who says so."""

    country: str
    facepiece: str
    fit_factor: float
    source: str


LEVELS = (
    PassLevel("US", "half mask", 100.0, "29 CFR 1910.134(f)(7) and Appendix A"),
    PassLevel("US", "full face mask", 500.0, "29 CFR 1910.134(f)(7) and Appendix A"),
    PassLevel("UK", "half mask", 100.0, "HSE INDG479 rev1 and HSE 282/28; every exercise by itself"),
    PassLevel("UK", "full face mask", 2000.0, "HSE INDG479 rev1 and HSE 282/28; every exercise by itself"),
)


def exercise_fit_factor(ambient_before: float, ambient_after: float, mask: float) -> float:
    """Fit factor of one exercise: the mean of the two ambient concentrations over the one in the mask.

    The three share any one unit. Raises ValueError unless all are finite, the ambient ones not negative and
    not both 0, and the in-mask one positive. Source: 29 CFR 1910.134, Appendix A.
    """
    if not all(math.isfinite(level) for level in (ambient_before, ambient_after, mask)):
        raise ValueError("Concentrations must be finite numbers.")
    if min(ambient_before, ambient_after) < 0 or ambient_before + ambient_after == 0:
        raise ValueError("The ambient concentration must be positive to give a fit factor.")
    if mask <= 0:
        raise ValueError("The in-mask concentration must be positive to give a fit factor.")
    return (ambient_before + ambient_after) / 2 / mask


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


def total_inward_leakage(fit_factor: float) -> float:
    """Total inward leakage in percent: 100 over the fit factor. Raises ValueError unless that is positive."""
    if not fit_factor > 0:
        raise ValueError("A fit factor must be positive.")
    return 100 / fit_factor


def highest_fit_factor(filter_penetration: float) -> float:
    """Fit factor of a mask whose seal leaks nothing, from the share of particles its filter lets through.

    With seal leak L and filter penetration P, both fractions, 1/FF = L + P(1 − L), so L = 0 leaves 1/P.
    Raises ValueError unless 0 < P ≤ 1.
    """
    if not 0 < filter_penetration <= 1:
        raise ValueError("Filter penetration is a fraction above 0 and at most 1.")
    return 1 / filter_penetration
