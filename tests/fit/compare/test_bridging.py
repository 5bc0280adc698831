"""What methods differ by, from bridging tests and from inside donnings."""

import math
from collections.abc import Iterable

import numpy as np
import pandas as pd
import pytest
from scipy.stats import norm

from builder.fit.compare.bridging import Block, estimate_methods, fit_methods, method_arms
from builder.fit.compare.methods import Method, MethodEffects
from builder.fit.compare.nested_scatter import NestedScatter, WearerScatter
from tests.fit.tables import tidy

SCATTER = NestedScatter(WearerScatter(0.1, 50.0), 100.0, {}, 50, 100, planned=False)
LONG = Method("eight-exercise", "condensation-counter", "all-sizes")
OPTICAL = Method("eight-exercise", "optical-counter", "all-sizes")
SHORT = Method("one-exercise", "condensation-counter", "all-sizes")

Row = tuple[str, str, float, str]


def table_of(rows: Iterable[Row]) -> pd.DataFrame:
    """Tests of (configuration, wearer, fit factor, instrument)."""
    rows = list(rows)
    return tidy([row[:3] for row in rows]).assign(instrument=[row[3] for row in rows])


def estimated(table: pd.DataFrame) -> MethodEffects:
    return estimate_methods(table, method_arms(table, SCATTER))


def bridged(wearers: int, factor: float) -> list[Row]:
    rng = np.random.default_rng(8)
    rows: list[Row] = []
    for wearer in range(wearers):
        for mask in "mno":
            level = rng.normal(4, 0.8)
            for instrument, more in (("condensation-counter", 0.0), ("optical-counter", math.log(factor))):
                rows.append((mask, f"w{wearer}", float(np.exp(level + more + rng.normal(0, 0.3))), instrument))
    return rows


def test_without_bridging_it_is_the_prior() -> None:
    rows: list[Row] = [("m", "ann", 50.0, "condensation-counter"), ("m", "bob", 90.0, "optical-counter")]
    found = estimated(table_of(rows))
    assert (found.bridging, found.inside) == (0, 0)
    # The scales themselves are uncertain: the mean square of a log-normal one.
    assert found.adjustment(LONG, OPTICAL).variance == pytest.approx((0.5**2 + 0.2**2) * math.exp(0.5), rel=0.05)
    assert found.adjustment(LONG, OPTICAL).estimate == 0


def test_many_bridging_tests_find_the_difference() -> None:
    found = estimated(table_of(bridged(20, 2.0)))
    adjustment = found.adjustment(LONG, OPTICAL)
    assert found.bridging == 20
    assert adjustment.factor == pytest.approx(2.0, rel=0.12)
    assert math.sqrt(sum(part**2 for part in adjustment.loading)) < 0.1
    # Nothing was learnt of protocols.
    assert found.scales.protocol == pytest.approx(0.3 * math.exp(0.25), rel=1e-3)
    assert 0.05 < found.scales.wearer < 0.3


def test_few_are_shrunk() -> None:
    few, many = (table_of(bridged(n, 2.0)) for n in (1, 20))
    raw = np.log(few["fit_factor"]).groupby(few["instrument"]).mean()
    found = estimated(few).adjustment(LONG, OPTICAL)
    assert 0 < found.estimate < raw["optical-counter"] - raw["condensation-counter"]
    assert found.variance > estimated(many).adjustment(LONG, OPTICAL).variance


def test_masks_and_faces_stay_out() -> None:
    """Only differences within an arm count: a method used on other masks alone tells nothing."""
    rows: list[Row] = [("m", f"w{i}", 20.0, "condensation-counter") for i in range(9)]
    rows += [("n", f"w{i}", 400.0, "optical-counter") for i in range(9)]
    assert estimated(table_of(rows)).adjustment(LONG, OPTICAL).estimate == 0


def test_arms_with_limits_stay_out() -> None:
    table = table_of(bridged(1, 2.0))
    assert estimated(table.assign(at_least=True)).bridging == 0


def test_exercises_of_one_donning_tell_of_protocols() -> None:
    rng = np.random.default_rng(9)
    table = tidy([("m", f"w{i % 6}", float(np.exp(rng.normal(4, 1)))) for i in range(30)])
    table["one_exercise_fit_factor"] = table["fit_factor"] * 1.4 * np.exp(rng.normal(0, 0.2, 30))
    table["four_exercise_fit_factor"] = np.nan
    table.loc[[0, 1], "one_exercise_fit_factor"] = np.nan
    found = estimated(table)
    assert (found.bridging, found.inside) == (0, 6)
    adjustment = found.adjustment(LONG, SHORT)
    assert adjustment.factor == pytest.approx(1.4, rel=0.12)
    assert adjustment.variance < 0.3**2


def test_bridging_and_inside_of_one_wearer_are_one_block() -> None:
    table = table_of(bridged(3, 2.0))
    table["one_exercise_fit_factor"] = table["fit_factor"] * 1.4
    found = estimated(table)
    assert (found.bridging, found.inside) == (3, 3)
    assert found.adjustment(LONG, SHORT).estimate > 0


def test_posterior_against_one_covariance() -> None:
    """At the scales found, the levels given all differences are those of one joint normal."""
    rng = np.random.default_rng(4)
    before = MethodEffects.unknown([LONG, OPTICAL, SHORT])
    blocks = [
        Block(
            rng.normal(0.5, 0.3, 2),
            np.diag(rng.uniform(0.02, 0.1, 2)),
            rng.normal(size=(2, 5)),
            rng.normal(size=(2, 3)),
        )
        for _ in range(4)
    ]
    found = fit_methods(blocks, before)
    y, rows = np.concatenate([b.y for b in blocks]), np.vstack([b.rows for b in blocks])
    prior = np.diag(found.scales.of_levels(found.levels) ** 2)
    own = np.zeros((8, 8))
    for i, block in enumerate(blocks):
        at = slice(2 * i, 2 * i + 2)
        own[at, at] = block.covariance + 0.5 * found.scales.wearer**2 * block.persons @ block.persons.T
    total = own + rows @ prior @ rows.T
    assert found.mean == pytest.approx(prior @ rows.T @ np.linalg.solve(total, y), abs=1e-9)
    np.testing.assert_allclose(
        found.covariance, prior - prior @ rows.T @ np.linalg.solve(total, rows @ prior), atol=1e-9
    )


@pytest.mark.parametrize("difference", [0.1, 0.7, 2.0])
def test_a_scale_is_about_its_posterior_mean_square(difference: float) -> None:
    """Of the instruments' scale from one difference known to ±0.1, by a fine grid."""
    before = MethodEffects.unknown([LONG, OPTICAL])
    row = np.array(
        [[{"condensation-counter": -1.0, "optical-counter": 1.0}.get(value, 0.0) for _, value in before.levels]]
    )
    block = Block(np.array([difference]), np.array([[0.01]]), row, np.zeros((1, 1)))
    log_scale = np.linspace(-3, 3, 2001)
    scale2 = np.exp(2 * log_scale)
    weight = norm.pdf(log_scale, math.log(0.5), 0.5) * norm.pdf(difference, 0, np.sqrt(scale2 + 0.01))
    expected = float(weight @ scale2 / weight.sum())
    found = fit_methods([block], before)
    assert found.scales.instrument**2 == pytest.approx(expected, rel=0.2)
    assert found.scales.protocol**2 == pytest.approx(0.3**2 * math.exp(0.5))
    assert found.adjustment(LONG, OPTICAL).estimate == pytest.approx(difference, rel=0.2)
