from dataclasses import replace

import numpy as np
import pytest

from builder.fit.facemodel.design import Design, build_catalogue, build_design
from builder.fit.facemodel.estimate import climb, climb_near, log_posterior, scale_draws, summit_of
from builder.fit.facemodel.scales import ESTIMATED, FIXED, ScalePrior, Scales
from tests.conftest import ROOT
from tests.fit.facemodel.simulation import World, simulate


def design_of(world: World, seed: int) -> Design:
    table = simulate(world, seed)
    return build_design(table, build_catalogue(table))


def test_scales_go_to_logs_and_back() -> None:
    scales = Scales(style=0.3, redonning=0.7)
    assert scales.with_logs(scales.logs()).of_terms() == pytest.approx(scales.of_terms())
    assert len(scales.of_terms()) == len(ESTIMATED) + len(FIXED) + 1


def test_re_donning_is_known_beforehand_twice_as_well_as_the_rest() -> None:
    """As `methods.md` says: spreads of ln SD of 0.5, and 0.25 for re-donning."""
    assert ScalePrior().spread == {name: 0.25 if name == "redonning" else 0.5 for name in ESTIMATED}
    assert "with spread 0.5 (re-donning 0.25)" in " ".join((ROOT / "site_src/pages/methods.md").read_text().split())


def test_large_databases_find_the_true_scales() -> None:
    truth = Scales(wearer=0.9, redonning=0.3, mask=0.8)
    design = design_of(World(wearers=150, masks=40, configurations=120, tests=3000, scales=truth), seed=2)
    found = climb(design, ScalePrior()).posterior.scales
    assert found.wearer == pytest.approx(truth.wearer, rel=0.15)
    assert found.redonning == pytest.approx(truth.redonning, rel=0.1)
    assert found.mask == pytest.approx(truth.mask, rel=0.25)


@pytest.mark.parametrize("ceiling", [np.inf, 200.0])
def test_the_maximum_is_flat_and_does_not_depend_on_the_start(ceiling: float) -> None:
    design = design_of(World(ceiling=ceiling), seed=1)
    prior = ScalePrior()
    found = climb(design, prior).posterior.scales
    assert np.abs(log_posterior(design, found, prior).gradient).max() < 0.1
    other = climb(design, prior, replace(Scales(), mask=1.2, wearer=0.2, redonning=0.9)).posterior.scales
    assert other.logs() == pytest.approx(found.logs(), abs=0.05)


def test_a_spread_of_zero_holds_a_scale() -> None:
    design = design_of(World(), seed=1)
    prior = ScalePrior(spread={name: 0.5 if name == "redonning" else 0.0 for name in ESTIMATED})
    found = climb(design, prior).posterior.scales
    moved = found.of_terms() / Scales().of_terms()
    assert moved[ESTIMATED.index("redonning")] != pytest.approx(1)
    assert np.delete(moved, ESTIMATED.index("redonning")) == pytest.approx(1)


def test_draws_are_pairs_around_the_maximum() -> None:
    design = design_of(World(), seed=1)
    prior = ScalePrior()
    fit = climb(design, prior)
    summit = summit_of(fit.posterior, prior)
    draws = scale_draws(summit, len(design.tests), prior)
    assert len(draws) == 12
    assert draws == scale_draws(summit, len(design.tests), prior)
    at = fit.posterior.scales.logs()
    for one, other in zip(draws[::2], draws[1::2], strict=True):
        assert one.logs() + other.logs() == pytest.approx(2 * at)
    spread = np.std([draw.logs() for draw in draws], axis=0)
    # The re-donning scatter is better known than the rest.
    assert spread[ESTIMATED.index("redonning")] < 0.2 < spread[ESTIMATED.index("style")]


def test_more_tests_need_fewer_draws() -> None:
    design = design_of(World(wearers=20, tests=500), seed=1)
    prior = ScalePrior()
    fit = climb(design, prior)
    assert len(scale_draws(summit_of(fit.posterior, prior), len(design.tests), prior)) == 6


@pytest.mark.parametrize("ceiling", [np.inf, 200.0])
def test_a_part_of_the_tests_is_climbed_from_the_summit_of_all(ceiling: float) -> None:
    table, prior = simulate(World(tests=200, ceiling=ceiling), 1), ScalePrior()
    catalogue = build_catalogue(table)
    summit = summit_of(climb(build_design(table, catalogue), prior).posterior, prior)
    part = build_design(table[table["wearer"] != table["wearer"].iloc[0]], catalogue)
    found, expected = climb_near(part, prior, summit).posterior, climb(part, prior).posterior
    assert found.scales.logs() == pytest.approx(expected.scales.logs(), abs=0.03)
    assert log_posterior(part, found.scales, prior).value == pytest.approx(
        log_posterior(part, expected.scales, prior).value, abs=2e-3
    )


def test_a_summit_far_away_is_left_for_the_long_way() -> None:
    design, prior = design_of(World(), seed=1), ScalePrior()
    found = climb(design, prior)
    far = replace(summit_of(found.posterior, prior), scales=replace(Scales(), wearer=4.0, redonning=0.02, mask=0.02))
    assert climb_near(design, prior, far).posterior.scales.logs() == pytest.approx(
        found.posterior.scales.logs(), abs=0.05
    )
