"""Scatter and contrasts against published formulae and data, and SciPy."""

import numpy as np
import pytest
from scipy.special import digamma, polygamma
from scipy.stats import ttest_ind

from builder.fit.compare.nested_scatter import repeat_arms
from tests.bench.one_step import fit_prior
from tests.fit.tables import contrast, readings, scatter_of_all, tidy


def test_closed_form_of_smyth() -> None:
    """G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 2004;3:3, section 6.2: both equations hold at the estimate."""
    variances = np.array([0.02, 0.5, 0.11, 0.9, 0.07, 0.3, 1.4])
    d = np.array([1, 2, 3, 1, 5, 2, 1])
    prior_variance, prior_df = fit_prior(variances, d)
    e = np.log(variances) - digamma(d / 2) + np.log(d / 2)
    n = len(e)
    assert polygamma(1, prior_df / 2) == pytest.approx(np.mean((e - e.mean()) ** 2 * n / (n - 1) - polygamma(1, d / 2)))
    assert np.log(prior_variance) == pytest.approx(e.mean() + digamma(prior_df / 2) - np.log(prior_df / 2))


@pytest.mark.parametrize("true_df", [4.0, 8.0, 20.0])
def test_recovers_the_prior_it_was_drawn_from(true_df: float) -> None:
    """The same paper's model: 1/σ² ~ χ²(d₀)/(d₀ s₀²), d s²/σ² ~ χ²(d)."""
    rng = np.random.default_rng(1)
    d = rng.integers(2, 8, 50_000)
    variances = 0.2 * true_df / rng.chisquare(true_df, d.size) * rng.chisquare(d) / d
    prior_variance, prior_df = fit_prior(variances, d)
    assert prior_variance == pytest.approx(0.2, rel=0.05)
    assert prior_df == pytest.approx(true_df, rel=0.15)


def test_nist_within_groups() -> None:
    """NIST StRD, one-way ANOVA, data set SiRstv: within-instrument sum of squares 0.21663656 on 20 df."""
    instruments = [
        (196.3052, 196.1240, 196.1890, 196.2569, 196.3403),
        (196.3042, 196.3825, 196.1669, 196.3257, 196.0422),
        (196.1303, 196.2005, 196.2889, 196.0343, 196.1811),
        (196.2795, 196.1748, 196.1494, 196.1485, 195.9885),
        (196.2119, 196.1051, 196.1850, 196.0052, 196.2090),
    ]
    rows = [("m", f"w{i}", float(np.exp(y))) for i, values in enumerate(instruments) for y in values]
    repeats = repeat_arms(tidy(rows))
    assert int(repeats["df"].sum()) == 20
    within = (repeats["df"] * repeats["variance"]).sum()
    assert within == pytest.approx(0.21663656, abs=1e-9)
    assert np.sqrt(within / 20) == pytest.approx(0.104076068334656, rel=1e-9)


def test_contrast_on_own_scatter_is_welchs() -> None:
    """SciPy's `ttest_ind` for two variances that differ (B. L. Welch, Biometrika 1947;34:28)."""
    a, b = np.log([120, 90, 150]), np.log([300, 210])
    own_only = scatter_of_all(1.0, arm_df=1e-12)
    found = contrast(readings(a, own_only), readings(b, own_only), own_only)
    reference = ttest_ind(b, a, equal_var=False)
    assert found.df == pytest.approx(reference.df, rel=1e-9)
    assert found.p_value == pytest.approx(reference.pvalue, rel=1e-9)
    assert found.ratio == pytest.approx(2.137135, abs=1e-6)
    for level, limits in ((0.90, (found.low90, found.high90)), (0.99, (found.low99, found.high99))):
        interval = reference.confidence_interval(level)
        assert limits == pytest.approx((np.exp(interval.low), np.exp(interval.high)), rel=1e-9)
