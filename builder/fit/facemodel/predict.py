"""From outlooks to what people ask: the chance of passing, an expected fit factor, and what to try first.

With few data the scales are not well known either: several posteriors, one for each draw of the scales, stand side
by side, and every figure is one of their mixture.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import ndtr, ndtri

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.facemodel.outlook import Outlook
from builder.fit.levels import PREDICTED_LEVEL, tails

HALF_WIDTH = float(ndtri(tails(PREDICTED_LEVEL)[1]))
"""Half of the interval around a prediction, in standard deviations."""
_SAMPLES = 4000
_SAMPLE_SEED = 0
# Those best by themselves. Lists of five out of 517 never needed one beyond the 17 best (simulated).
_CANDIDATES = 60
_JITTER = 1e-10
_NO_WEIGHT = 1e-300


@dataclass(frozen=True)
class Prediction:
    """For n configurations: chance that one donning passes with its 90 % interval, and ln fit factor likewise."""

    chance: FloatArray
    low: FloatArray
    high: FloatArray
    mean: FloatArray
    reading_low: FloatArray
    reading_high: FloatArray


@dataclass(frozen=True)
class Suggestion:
    """One entry of a list to try in order; `cumulative_chance` is that it or an earlier one passes."""

    configuration: str
    chance: float
    cumulative_chance: float


def predict(outlooks: Sequence[Outlook], limit: float, weights: FloatArray | None = None) -> Prediction:
    """The mixture's chances and intervals. `limit` is the ln fit factor to reach; `weights` as in `mixture`."""
    mean, known = mixture([o.mean for o in outlooks], [o.known for o in outlooks], weights)
    donning = np.average([o.own + o.redonning**2 for o in outlooks], axis=0, weights=weights)
    reach, spread = HALF_WIDTH * np.sqrt(known), np.sqrt(donning)
    wide = HALF_WIDTH * np.sqrt(known + donning)
    return Prediction(
        chance=mean_chance(outlooks, limit, weights),
        low=ndtr((mean - reach - limit) / spread),
        high=ndtr((mean + reach - limit) / spread),
        mean=mean,
        reading_low=mean - wide,
        reading_high=mean + wide,
    )


def chance(outlook: Outlook, limit: float) -> FloatArray:
    """Chance that one donning reaches the limit, (n,)."""
    return np.asarray(ndtr((outlook.mean - limit) / np.sqrt(outlook.variance + outlook.redonning**2)))


def mean_chance(outlooks: Sequence[Outlook], limit: float, weights: FloatArray | None = None) -> FloatArray:
    """The mixture's `chance`, (n,); `weights` as in `mixture`."""
    return np.asarray(np.average([chance(o, limit) for o in outlooks], axis=0, weights=weights))


def mixture(
    means: Sequence[FloatArray], variances: Sequence[FloatArray], weights: FloatArray | None = None
) -> tuple[FloatArray, FloatArray]:
    """Mean and variance of a mixture of normals, equal where no `weights` that add to 1 are given."""
    mean = np.average(means, axis=0, weights=weights)
    return mean, np.average(variances + (np.asarray(means) - mean) ** 2, axis=0, weights=weights)


def weights_with_alike(count: int, alike_weight: float) -> FloatArray:
    """Weights of so many outlooks that weigh the same, and of a last one; sum 1."""
    return np.append(np.full(count, (1 - alike_weight) / count), alike_weight)


def log_weights(weights: FloatArray) -> FloatArray:
    """Logarithms of weights, hardly to be reached again where one weighs nothing."""
    return np.log(np.maximum(weights, _NO_WEIGHT))


def try_in_order(
    outlooks: Sequence[Outlook],
    limit: float,
    count: int,
    weights: FloatArray | None = None,
    among: IntArray | None = None,
) -> list[tuple[int, float, float]]:
    """The list of `count` configurations most likely to hold one that passes: (number, chance, cumulative chance).

    Greedy over joint draws, so that each next one is the best given that those before it failed. A person's fits
    move together, which is why these are not simply the highest chances. The draws are antithetic, and the chance
    of failing is scaled so that the first agrees with its exact chance. `among` names the rows to choose from.
    """
    weights = np.full(len(outlooks), 1 / len(outlooks)) if weights is None else weights
    chances = mean_chance(outlooks, limit, weights)
    rows = np.arange(len(chances)) if among is None else among
    index = rows[np.argsort(-chances[rows], kind="stable")[:_CANDIDATES]]
    passes = []
    for outlook, normals in zip(outlooks, _normals(len(outlooks), len(index)), strict=True):
        factor = np.linalg.cholesky(outlook.covariance(index) + _JITTER * np.eye(len(index)))
        away = normals @ factor.T
        true = outlook.mean[index] + np.concatenate([away, -away])
        passes.append(ndtr((true - limit) / outlook.redonning))
    each = np.concatenate(passes)
    weight = np.repeat(weights / len(passes[0]), len(passes[0]))
    failing = np.ones(len(each))
    chosen: list[tuple[int, float, float]] = []
    scale = 1.0
    for _ in range(min(count, len(index))):
        gain = (weight * failing) @ each
        gain[[int(np.flatnonzero(index == number)[0]) for number, _, _ in chosen]] = -1
        best = int(np.argmax(gain)) if chosen else 0
        failing = failing * (1 - each[:, best])
        number = int(index[best])
        failed = float(weight @ failing)
        if not chosen:
            scale = (1 - chances[number]) / max(failed, 1e-12)
        chosen.append((number, float(chances[number]), 1 - float(scale) * failed))
    return chosen


# Every list is drawn from the same normals; hundreds of lists are made of as many configurations.
@lru_cache(maxsize=16)
def _normals(outlooks: int, count: int) -> FloatArray:
    """Half of the draws of each outlook, (outlooks, draws, count)."""
    half = _SAMPLES // (2 * outlooks)
    return np.random.default_rng(_SAMPLE_SEED).standard_normal((outlooks, half, count))
