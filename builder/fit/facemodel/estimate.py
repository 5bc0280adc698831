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
from builder.fit.facemodel.engine import Readings
from builder.fit.facemodel.evidence import evidence_gradient
from builder.fit.facemodel.scales import BOUNDS, ESTIMATED, TERM, ScalePrior, Scales

_DRAWS, _FEWER_DRAWS = 12, 6
_FEWER_FROM = 500
"""Tests from which half as many draws say how well the scales are known: they lie closer together."""
_DRAW_SEED = 3
_HESSIAN_STEP = 0.1
# A direction that the data leave this flat counts as no better known than a spread of 1/√2.
_CURVATURE_FLOOR = 2.0


@dataclass(frozen=True)
class Height:
    """Log posterior density of the scales up to a constant, its gradient in their logs, and the fit it comes from."""

    value: float
    gradient: FloatArray
    fit: Propagated


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


def scale_draws(design: Design, fit: Propagated, prior: ScalePrior) -> tuple[Scales, ...]:
    """Twelve draws or six, in pairs either side of the maximum, from the normal that matches its curvature."""
    pairs = (_DRAWS if len(design.tests) < _FEWER_FROM else _FEWER_DRAWS) // 2
    scales, sites, free = fit.posterior.scales, fit.posterior.readings, prior.free
    at = scales.logs()
    steps = np.eye(len(ESTIMATED))[free] * _HESSIAN_STEP
    rise = [
        log_posterior(design, scales.with_logs(at + step), prior, sites).gradient[free]
        - log_posterior(design, scales.with_logs(at - step), prior, sites).gradient[free]
        for step in steps
    ]
    hessian = -np.array(rise) / (2 * _HESSIAN_STEP)
    values, vectors = np.linalg.eigh((hessian + hessian.T) / 2)
    normals = np.random.default_rng(_DRAW_SEED).standard_normal((pairs, len(values)))
    away = np.zeros((pairs, len(ESTIMATED)))
    # Symmetric square root: it does not depend on the signs of the eigenvectors.
    away[:, free] = normals @ (vectors / np.sqrt(np.maximum(values, _CURVATURE_FLOOR))) @ vectors.T
    return tuple(scales.with_logs(np.clip(at + sign * a, *np.log(BOUNDS))) for a in away for sign in (1, -1))
