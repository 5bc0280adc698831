"""One configuration as the measure of all others: how many times as high each is, directly and through chains."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from builder.fit.arrays import FloatArray
from builder.fit.compare.network import Network
from builder.fit.compare.verdicts import Bound
from builder.fit.levels import CLEAR_LEVEL, LIKELY_LEVEL, beyond, tails

_LITTLE = 0.02
"""Of the information in a ratio, the least share that counts as evidence by other ways."""


@dataclass(frozen=True)
class Evidence:
    """A ratio from some of the evidence alone, with its 90 % interval."""

    ratio: float
    low90: float
    high90: float


@dataclass(frozen=True)
class Measured:
    """A configuration measured by the reference: the ratio of its fit factor with its 90 % interval.

    `bound` is "at_least" or "at_most" where readings of "at least" alone stand on one side: then there is no ratio, and
    one limit. `chain` holds the steps from the reference, each a configuration with the wearers behind it: one step
    where wearers tried both. `direct` is what these say, `indirect` what all others do; None where there is no such
    evidence. `disagree` says whether the two differ by more than luck of the 99 % interval.
    """

    configuration: str
    ratio: float | None
    low90: float | None
    high90: float | None
    bound: Bound
    chain: tuple[tuple[str, int], ...]
    direct: Evidence | None
    indirect: Evidence | None
    disagree: bool


def measured_by(network: Network, reference: str) -> tuple[tuple[Measured, ...], tuple[str, ...]]:
    """Measure all configurations by the reference, in the network's order; then those without a chain to it.

    ValueError for a reference without a test that counts.
    """
    if reference not in network.configurations:
        raise ValueError(f"{reference} has no test that counts")
    start = network.configurations.index(reference)
    chains = network.links.chains_from(start)
    passes = network.links.passes
    means = network.estimate - network.estimate[start]
    own = np.diag(network.covariance)
    variances = own + own[start] - 2 * network.covariance[start]
    direct, direct_variance = _direct(network, start)
    found, apart = [], []
    for place, name in enumerate(network.configurations):
        steps = chains.to(place)
        if place == start or not steps or not (passes[place] or passes[start]):
            apart += [name] if place != start else []
            continue
        mean, variance = float(means[place]), float(variances[place])
        by_faces = (float(direct[place]), float(direct_variance[place])) if len(steps) == 1 else None
        others = _without(mean, variance, by_faces) if by_faces else (mean, variance)
        bound: Bound = "none" if passes[place] and passes[start] else "at_least" if passes[start] else "at_most"
        low, high = _interval(mean, variance)
        found.append(
            Measured(
                name,
                math.exp(mean) if bound == "none" else None,
                None if bound == "at_most" else low,
                None if bound == "at_least" else high,
                bound,
                tuple((network.configurations[step], wearers) for step, wearers in steps),
                _evidence(by_faces) if bound == "none" else None,
                _evidence(others) if bound == "none" else None,
                bound == "none" and by_faces is not None and others is not None and _apart(by_faces, others),
            )
        )
    return tuple(found), tuple(apart)


def highest_first(measured: Sequence[Measured]) -> list[Measured]:
    """Put what is surely highest first: by the lower limit, those without one last."""
    return sorted(measured, key=lambda one: (one.low90 is None, -(one.low90 or 0.0), one.configuration))


def _direct(network: Network, start: int) -> tuple[FloatArray, FloatArray]:
    """What the faces of both say alone, by precision, at the spread of the network; NaN and infinite for none."""
    faces = ~np.isnan(network.location[:, start])
    apart = network.location[faces] - network.location[faces, start][:, None]
    weight = 1 / (network.variance[faces] + network.variance[faces, start][:, None] + network.tau**2)
    weight = np.nan_to_num(weight)
    total = weight.sum(axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        return (weight * np.nan_to_num(apart)).sum(axis=0) / total, 1 / total


def _without(mean: float, variance: float, part: tuple[float, float]) -> tuple[float, float] | None:
    """What is left of evidence without a part of it (Dias et al., Stat. Med. 2010;29:932); None for next to nothing."""
    precision = 1 / variance - 1 / part[1]
    if precision < _LITTLE / variance:
        return None
    return (mean / variance - part[0] / part[1]) / precision, 1 / precision


def _evidence(told: tuple[float, float] | None) -> Evidence | None:
    return None if told is None else Evidence(math.exp(told[0]), *_interval(*told))


def _interval(mean: float, variance: float) -> tuple[float, float]:
    half = float(ndtri(tails(LIKELY_LEVEL)[1])) * math.sqrt(variance)
    return math.exp(mean - half), math.exp(mean + half)


def _apart(a: tuple[float, float], b: tuple[float, float]) -> bool:
    chance = 2 * float(ndtr(-abs(a[0] - b[0]) / math.sqrt(a[1] + b[1])))
    return chance < beyond(CLEAR_LEVEL)
