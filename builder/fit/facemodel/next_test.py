"""Which test to do next, for one wearer who wants a mask that fits."""

from collections.abc import Sequence

import numpy as np
from scipy.special import ndtr, ndtri

from builder.fit.arrays import FloatArray
from builder.fit.facemodel.outlook import Outlook
from builder.fit.facemodel.predict import chance

_QUANTILES = 41
_CANDIDATES = 200


def best_chance_gain(outlook: Outlook, limit: float) -> FloatArray:
    """How much one donning of each configuration is expected to raise the best chance of passing, (n,).

    The knowledge gradient (Frazier, Powell & Dayanik, SIAM J. Control Optim. 2008;47:2410–2439): the chance of the
    configuration that would be chosen after the test, averaged over the test's outcome, less that of the best now.
    Worked out among the configurations with the highest chances; NaN for the others.
    """
    before = chance(outlook, limit)
    index = np.argsort(-before, kind="stable")[:_CANDIDATES]
    covariance, mean = outlook.covariance(index), outlook.mean[index]
    outcomes = ndtri((np.arange(_QUANTILES) + 0.5) / _QUANTILES)
    gain = np.full(len(before), np.nan)
    variance = np.diagonal(covariance)
    for candidate, number in enumerate(index):
        shift = covariance[:, candidate] / np.sqrt(covariance[candidate, candidate] + outlook.redonning**2)
        spread = np.sqrt(np.maximum(variance - shift**2, 0) + outlook.redonning**2)
        after = ndtr((mean + outcomes[:, None] * shift - limit) / spread)
        gain[number] = after.max(axis=1).mean() - before[index].max()
    return np.asarray(np.maximum(gain, 0))


def mean_gain(outlooks: Sequence[Outlook], limit: float, weights: FloatArray | None = None) -> FloatArray:
    """`best_chance_gain` over the mixture of outlooks; `weights` as in `predict`."""
    return np.asarray(np.average([best_chance_gain(o, limit) for o in outlooks], axis=0, weights=weights))
