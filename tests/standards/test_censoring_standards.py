"""Kaplan–Meier curves and medians against published values and other implementations."""

import numpy as np
import pytest
from scipy.stats import CensoredData, ecdf, norm
from statsmodels.duration.survfunc import SurvfuncRight

from builder.fit.summary.censored_normal import censored_normal
from builder.fit.summary.censoring import Median, kaplan_meier, median

TIMES = [8, 12, 26, 14, 21, 27, 8, 32, 20, 40]
CENSORED = [False] * 6 + [True] * 4


def test_published_curve() -> None:
    """A worked example in SciPy's own tests (read); the median follows from it: the curve passes one half at 26."""
    curve = kaplan_meier(TIMES, CENSORED)
    np.testing.assert_array_equal(curve.times, [8, 12, 14, 21, 26, 27])
    np.testing.assert_allclose(curve.survival[1:], [0.7875, 0.675, 0.54, 0.405, 0.27], rtol=1e-12)
    assert median(TIMES, CENSORED) == Median(26, at_least=False)


def _random_sample(seed: int) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    values = np.round(np.exp(rng.normal(4.6, 0.8, size=60)))  # rounded for ties
    ceiling = np.exp(rng.normal(5.0, 0.5, size=60)).round()
    return np.minimum(values, ceiling), values >= ceiling


@pytest.mark.parametrize("seed", range(5))
def test_curve_against_scipy(seed: int) -> None:
    """`scipy.stats.ecdf` of right-censored data."""
    values, censored = _random_sample(seed)
    reference = ecdf(CensoredData(uncensored=values[~censored], right=values[censored])).sf
    curve = kaplan_meier(values, censored)
    np.testing.assert_allclose(curve.survival, reference.evaluate(curve.times), rtol=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_curve_and_median_against_statsmodels(seed: int) -> None:
    """`statsmodels` SurvfuncRight, status 1 for an event."""
    values, censored = _random_sample(seed)
    reference = SurvfuncRight(values, ~censored)
    curve = kaplan_meier(values, censored)
    np.testing.assert_allclose(reference.surv_times[reference.n_events > 0], curve.times)
    np.testing.assert_allclose(reference.surv_prob[reference.n_events > 0], curve.survival, rtol=1e-12)
    # No sample stays at one half, where conventions differ.
    assert not np.isclose(curve.survival, 0.5).any()
    assert median(values, censored) == Median(reference.quantile(0.5), at_least=False)


# fmt: off
FAILURES = [
    22.5, 37.5, 46, 48.5, 51.5, 53, 54.5, 57.5, 66.5, 68, 69.5, 76.5, 77, 78.5, 80, 81.5, 82, 83, 84,
    91.5, 93.5, 102.5, 107, 108.5, 112.5, 113.5, 116, 117, 118.5, 119, 120, 122.5, 123, 127.5, 131, 132.5, 134,
]
# fmt: on
LOCOMOTIVES = np.concatenate([FAILURES, np.full(59, 135.0)])
UNFAILED = np.repeat([False, True], [37, 59])
"""W. Nelson, Applied Life Data Analysis, 1982: 37 failures of 96 locomotive controls, the rest sound at 135 (read)."""


def test_median_of_locomotive_controls() -> None:
    """Below the one ceiling the curve is the plain share of survivors."""
    assert median(LOCOMOTIVES, UNFAILED) == Median(135, at_least=True)
    np.testing.assert_allclose(kaplan_meier(LOCOMOTIVES, UNFAILED).survival[-1], 59 / 96)


def test_log_normal_of_locomotive_controls() -> None:
    """Nelson's own fit: μ 5.1169, σ 0.7055 (natural log)."""
    assert censored_normal(np.log(LOCOMOTIVES), UNFAILED) == pytest.approx((5.1169, 0.7055), abs=5e-5)


@pytest.mark.parametrize("seed", range(3))
def test_log_normal_against_scipy(seed: int) -> None:
    """`scipy.stats.norm.fit` of right-censored data."""
    values, censored = _random_sample(seed)
    logs = np.log(values)
    reference = norm.fit(CensoredData(uncensored=logs[~censored], right=logs[censored]))
    assert censored_normal(logs, censored) == pytest.approx(reference, abs=1e-4)
