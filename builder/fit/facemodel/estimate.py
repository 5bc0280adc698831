"""Maximum a posteriori estimates of the scales, and draws around them where the data are too few to fix them.

Plain REML overfits small data; the prior of `ScalePrior` holds it back. With "at least" readings the evidence is that
of expectation propagation. It does not change to first order with the sites, so its gradient is the one with sites
and cavities held still (Seeger, Expectation propagation for exponential families, 2005).
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

from builder.fit.arrays import FloatArray
from builder.fit.facemodel.censored import Propagated, log_mass_slope, propagate
from builder.fit.facemodel.design import Design
from builder.fit.facemodel.engine import Posterior, Readings
from builder.fit.facemodel.evidence import evidence_gradient
from builder.fit.facemodel.scales import BOUNDS, ESTIMATED, TERM, ScalePrior, Scales

_DRAWS, _FEWER_DRAWS = 12, 6
_FEWER_FROM = 500
"""Tests from which half as many draws say how well the scales are known: they lie closer together."""
_DRAW_SEED = 3
_HESSIAN_STEP = 0.1
# A direction that the data leave this flat counts as no better known than a spread of 1/√2.
_CURVATURE_FLOOR = 2.0
_MOST_STEPS = 15
# In log density: what the scales could still gain, half of Newton's decrement (Boyd & Vandenberghe, Convex
# Optimization, 2004, §9.5.1).
_THERE = 1e-3


@dataclass(frozen=True)
class Height:
    """Log posterior density of the scales up to a constant, its gradient in their logs, and the fit it comes from."""

    value: float
    gradient: FloatArray
    fit: Propagated


@dataclass(frozen=True)
class Summit:
    """The scales of highest posterior density, and the curvature of its logarithm there, over those free to move."""

    scales: Scales
    curvature: FloatArray
    """Minus the second derivatives in ln scale, flat directions made steeper: positive definite."""


def log_posterior(design: Design, scales: Scales, prior: ScalePrior, start: Readings | None = None) -> Height:
    """The height at these scales; `start` gives sites from a nearby fit."""
    fit = propagate(design, scales, start)
    gradient = evidence_gradient(fit.posterior, fit.spread)
    which = design.at_least
    total = fit.cavity.variance + scales.redonning**2 + design.counting_variance[which]
    t = (fit.cavity.mean - design.reading[which]) / np.sqrt(total)
    gradient[TERM["redonning"]] -= scales.redonning**2 * float((log_mass_slope(t) * t / total).sum())
    density, slope = prior.log_density(scales.logs())
    return Height(fit.log_evidence + density, gradient + slope, fit)


def climb(design: Design, prior: ScalePrior, start: Scales | None = None) -> Propagated:
    """The fit at the scales of highest posterior density, climbing from `start` (default the prior's centres)."""
    scales = start or prior.centre
    at, free = scales.logs(), prior.free
    sites: Readings | None = None

    def descent(moved: FloatArray) -> tuple[float, FloatArray]:
        nonlocal sites
        logs = at.copy()
        logs[free] = moved
        height = log_posterior(design, scales.with_logs(logs), prior, sites)
        sites = height.fit.posterior.readings
        return -height.value, -height.gradient[free]

    low, high = np.log(BOUNDS)
    found = minimize(
        descent,
        at[free],
        jac=True,
        method="L-BFGS-B",
        bounds=[(low, high)] * int(free.sum()),
        options={"maxiter": 40, "ftol": 1e-8, "gtol": 1e-2},
    )
    best = at.copy()
    best[free] = found.x
    return propagate(design, scales.with_logs(best), sites)


def climb_near(design: Design, prior: ScalePrior, summit: Summit) -> Propagated:
    """The same for a design that is much the same as another, from whose `summit` its own is a few steps away.

    Newton's method with the other's curvature; where that does not get there soon, the way is climbed as any other.
    """
    scales, free = summit.scales, prior.free
    at, sites = scales.logs(), None
    for _ in range(_MOST_STEPS):
        height = log_posterior(design, scales.with_logs(at), prior, sites)
        sites = height.fit.posterior.readings
        step = np.linalg.solve(summit.curvature, height.gradient[free])
        if 0.5 * step @ height.gradient[free] < _THERE:
            return height.fit
        at[free] = np.clip(at[free] + step, *np.log(BOUNDS))
    return climb(design, prior, scales)


def summit_of(posterior: Posterior, prior: ScalePrior) -> Summit:
    """The summit that a fit stands on, with how steeply the density falls from it."""
    design, scales, sites, free = posterior.design, posterior.scales, posterior.readings, prior.free
    at = scales.logs()
    steps = np.eye(len(ESTIMATED))[free] * _HESSIAN_STEP
    rise = [
        log_posterior(design, scales.with_logs(at + step), prior, sites).gradient[free]
        - log_posterior(design, scales.with_logs(at - step), prior, sites).gradient[free]
        for step in steps
    ]
    hessian = -np.array(rise) / (2 * _HESSIAN_STEP)
    values, vectors = np.linalg.eigh((hessian + hessian.T) / 2)
    return Summit(scales, vectors * np.maximum(values, _CURVATURE_FLOOR) @ vectors.T)


def scale_draws(summit: Summit, tests: int, prior: ScalePrior) -> tuple[Scales, ...]:
    """Twelve draws or six, in pairs either side of the summit, from the normal that matches its curvature."""
    pairs = (_DRAWS if tests < _FEWER_FROM else _FEWER_DRAWS) // 2
    scales, at = summit.scales, summit.scales.logs()
    values, vectors = np.linalg.eigh(summit.curvature)
    normals = np.random.default_rng(_DRAW_SEED).standard_normal((pairs, len(values)))
    away = np.zeros((pairs, len(ESTIMATED)))
    # Symmetric square root: it does not depend on the signs of the eigenvectors.
    away[:, prior.free] = normals @ (vectors / np.sqrt(values)) @ vectors.T
    return tuple(scales.with_logs(np.clip(at + sign * a, *np.log(BOUNDS))) for a in away for sign in (1, -1))
