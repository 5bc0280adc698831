"""The network of all configurations: beside two-way least squares, pooled pairs, and simulated truth."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm

from builder.fit.compare.measured_arms import MeasuredArms
from builder.fit.compare.network import network
from builder.fit.compare.network_faces import faces_of
from builder.fit.compare.network_limits import exact_alone
from builder.fit.compare.network_solution import solution
from builder.fit.compare.pooling import MEAN_SD, bayes_pool
from builder.fit.compare.two_configurations import compare
from builder.fit.compare.yardstick import measured_by
from tests.fit.tables import Row, measured, scatter_of_all, tidy

SCATTER = scatter_of_all(0.25)


def drawn(seed: int, *, configurations: int = 6, wearers: int = 25, tau: float = 0.5, share: float = 0.5) -> list[Row]:
    """Readings of configurations that are each a third of a ln unit above the one before, one or two donnings each."""
    rng = np.random.default_rng(seed)
    rows = []
    for wearer in range(wearers):
        level = rng.normal(4, 1)
        for place in range(configurations):
            own = level + place / 3 + rng.normal(0, tau / 2**0.5)
            if rng.random() < share:
                rows += [
                    (f"m{place}", f"w{wearer}", math.exp(own + rng.normal(0, 0.5))) for _ in range(rng.integers(1, 3))
                ]
    return rows


def arms(rows: list[Row], at_least: Sequence[int] = ()) -> MeasuredArms:
    return measured(tidy(rows, at_least=at_least), SCATTER)


@pytest.mark.parametrize("tau", [0.0, 0.6])
def test_it_is_two_way_least_squares(tau: float) -> None:
    """With hardly a prior: statsmodels' WLS with a level of each wearer and of each configuration."""
    own = arms(drawn(1))
    names = list(own.by_configuration)
    observed = exact_alone(faces_of(own, {name: place for place, name in enumerate(names)}))
    found = solution(observed, len(names), tau, 1e3)
    rows = [
        (face.wearer, name, arm.readings.mean, arm.error)
        for face, tried in own.by_face.items()
        if len(tried) > 1
        for name, readings in tried.items()
        for arm in readings
    ]
    table = pd.DataFrame(rows, columns=["wearer", "configuration", "y", "error"])
    design = pd.get_dummies(table[["wearer", "configuration"]], drop_first=True, dtype=float)
    fitted = sm.WLS(table["y"], sm.add_constant(design), weights=1 / (table["error"] + tau**2 / 2)).fit()
    scale = fitted.scale
    for place, name in enumerate(names[1:], start=1):
        column = f"configuration_{name}"
        variance = found.covariance[place, place] + found.covariance[0, 0] - 2 * found.covariance[0, place]
        assert found.estimate[place] - found.estimate[0] == pytest.approx(fitted.params[column], abs=1e-5)
        assert math.sqrt(variance) == pytest.approx(fitted.bse[column] / math.sqrt(scale), rel=1e-5)


def test_two_configurations_alone_are_pooled_as_any_pair() -> None:
    own = arms([row for row in drawn(2, wearers=12, share=0.9) if row[0] in ("m0", "m3")])
    pair = compare(own, "m0", "m3")
    pooled = bayes_pool([one.estimate for one in pair.wearers], [one.variance for one in pair.wearers])
    (found,), _ = measured_by(network(own), "m0")
    assert found.ratio is not None and pair.ratio is not None
    assert math.log(found.ratio) == pytest.approx(pooled.mean.mean, abs=0.01)
    assert (found.low90, found.high90) == pytest.approx((pair.low90, pair.high90), rel=0.03)
    assert network(own).tau == pytest.approx(pooled.tau, rel=0.05)
    assert found.chain == (("m3", pair.pooled),)
    assert found.direct is not None
    assert found.indirect is None


def test_limits_are_taken_as_pairs_take_them() -> None:
    """Within a tenth of the interval of the likelihood that pairs are pooled by (`limited_pooling`)."""
    rows = [row for row in drawn(3, wearers=14, share=0.95) if row[0] in ("m0", "m5")]
    ceiling = [place for place, (_, _, fit_factor) in enumerate(rows) if fit_factor > 400]
    cut = [(name, wearer, min(fit_factor, 400.0)) for name, wearer, fit_factor in rows]
    own = arms(cut, at_least=ceiling)
    assert 4 < len(ceiling) < len(rows) / 2
    pair = compare(own, "m0", "m5")
    (found,), _ = measured_by(network(own), "m0")
    assert found.ratio and pair.ratio and pair.low90 and pair.high90 and found.low90 and found.high90
    width = math.log(pair.high90 / pair.low90)
    for mine, theirs in ((found.ratio, pair.ratio), (found.low90, pair.low90), (found.high90, pair.high90)):
        assert abs(math.log(mine / theirs)) < 0.1 * width


def test_intervals_hold_the_truth_as_often_as_they_say() -> None:
    """40 databases of eight configurations on 20 faces, with a ceiling: 280 ratios, 90 % intervals."""
    held, total, wide = 0, 0, []
    for seed in range(40):
        rows = drawn(100 + seed, configurations=8, wearers=20, share=0.35)
        ceiling = [place for place, (_, _, fit_factor) in enumerate(rows) if fit_factor > 1500]
        cut = [(name, wearer, min(fit_factor, 1500.0)) for name, wearer, fit_factor in rows]
        found, _ = measured_by(network(arms(cut, at_least=ceiling)), "m0")
        for one in found:
            assert one.low90 is not None and one.high90 is not None
            truth = math.exp(int(one.configuration[1:]) / 3)
            held += one.low90 <= truth <= one.high90
            total += 1
            wide.append(math.log(one.high90 / one.low90))
    assert total > 250
    assert 0.86 < held / total < 0.95
    assert np.median(wide) < 2 * 1.645 * MEAN_SD / 1.5


CHAINED: list[Row] = [
    *((name, wearer, fit_factor) for wearer in ("ann", "ben") for name, fit_factor in (("a", 20.0), ("b", 60.0))),
    *(
        (name, wearer, fit_factor)
        for wearer in ("cid", "dan", "eve")
        for name, fit_factor in (("b", 50.0), ("c", 100.0))
    ),
    ("d", "fay", 80.0),
    ("d", "gus", 90.0),
    ("e", "gus", 30.0),
]


def test_where_nobody_tried_both_a_chain_leads_there() -> None:
    found, apart = measured_by(network(arms(CHAINED)), "a")
    by_name = {one.configuration: one for one in found}
    assert by_name["b"].chain == (("b", 2),)
    assert by_name["c"].chain == (("b", 2), ("c", 3))
    assert by_name["c"].direct is None
    assert by_name["c"].indirect is not None
    b, c = by_name["b"], by_name["c"]
    assert b.ratio and c.ratio and b.low90 and b.high90 and c.low90 and c.high90
    assert 2 < b.ratio < 3 < c.ratio < 6
    assert c.high90 / c.low90 > b.high90 / b.low90
    assert apart == ("d", "e")


def test_any_configuration_can_be_the_measure_and_ratios_turn_around() -> None:
    joined = network(arms(CHAINED))
    there = {one.configuration: one for one in measured_by(joined, "a")[0]}["c"]
    back = {one.configuration: one for one in measured_by(joined, "c")[0]}["a"]
    assert there.ratio and back.ratio and there.low90 and back.high90
    assert there.ratio * back.ratio == pytest.approx(1)
    assert there.low90 * back.high90 == pytest.approx(1)
    assert back.chain == (("b", 3), ("a", 2))
    with pytest.raises(ValueError, match=r"^x has no test that counts$"):
        measured_by(joined, "x")


def test_readings_of_at_least_alone_give_one_limit_and_lead_no_further() -> None:
    rows: list[Row] = [("a", "ann", 20.0), ("b", "ann", 200.0), ("b", "ben", 200.0), ("c", "ben", 30.0)]
    found, apart = measured_by(network(arms(rows, at_least=[1, 2])), "a")
    (only,) = found
    assert (only.configuration, only.bound, only.ratio, only.high90) == ("b", "at_least", None, None)
    assert only.low90 is not None and only.low90 > 1
    assert apart == ("c",)
    turned, _ = measured_by(network(arms(rows, at_least=[1, 2])), "b")
    assert {(one.configuration, one.bound, one.ratio, one.low90) for one in turned} == {
        ("a", "at_most", None, None),
        ("c", "at_most", None, None),
    }


def test_direct_and_indirect_evidence_that_differ_too_far_are_told() -> None:
    rng = np.random.default_rng(5)
    rows: list[Row] = []
    for wearer in range(12):
        rows += [("a", f"x{wearer}", 20.0), ("b", f"x{wearer}", 20.0 * math.exp(rng.normal(2.5, 0.2)))]
        rows += [("a", f"y{wearer}", 20.0), ("c", f"y{wearer}", 20.0 * math.exp(rng.normal(0, 0.2)))]
        rows += [("b", f"z{wearer}", 20.0), ("c", f"z{wearer}", 20.0 * math.exp(rng.normal(0, 0.2)))]
    found = {one.configuration: one for one in measured_by(network(arms(rows)), "a")[0]}
    b = found["b"]
    assert b.direct and b.indirect
    assert b.direct.ratio > 9
    assert b.indirect.ratio < 3
    assert b.disagree
    assert not any(one.disagree for one in measured_by(network(arms(drawn(6))), "m0")[0])
