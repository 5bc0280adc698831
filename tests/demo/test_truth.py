"""The stated truth: its parts add up as said, and the tests are drawn from it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from builder.demo import truth as stated
from builder.demo.loggers import LOGGERS
from builder.demo.method_effects import passing
from builder.demo.scenario import Scenario, generate, scenario
from builder.demo.truth import FaceEffects, through_filter
from builder.fit.counts.fit_factor import highest_fit_factor
from builder.fit.levels import PASS_LEVEL
from builder.records.models import Test, configuration_id


@pytest.fixture(scope="module")
def bench() -> Scenario:
    return scenario(wearers=400, masks=24, seed=11)


def test_arrays_have_a_row_a_wearer_and_a_column_a_configuration(bench: Scenario) -> None:
    truth = bench.truth
    assert truth.seal.shape == (400, len(bench.configurations))
    assert truth.scatter.shape == (400,)
    assert truth.penetration.shape == (len(bench.configurations),)


def test_a_part_multiplies_by_the_same_on_every_mask_and_wearer(bench: Scenario) -> None:
    # Wearer, mask and face cancel within a mask; what is left around the effect is configuration scatter.
    by_parts: dict[tuple[str, ...], list[float]] = {}
    sold = {c.mask: i for i, c in enumerate(bench.configurations) if not c.parts}
    for i, configuration in enumerate(bench.configurations):
        gain = bench.truth.seal[:, i] - bench.truth.seal[:, sold[configuration.mask]]
        by_parts.setdefault(configuration.parts, []).append(float(gain.mean()))
    for parts, gains in by_parts.items():
        if len(parts) == 1:
            spread = stated.CONFIGURATION * np.sqrt(2 / len(gains))
            assert np.mean(gains) == pytest.approx(stated.PARTS[parts[0]], abs=3.5 * spread), parts
    together = by_parts["crossed-band", "broad-strip"]
    apart = stated.PARTS["crossed-band"] + stated.PARTS["broad-strip"]
    beyond = stated.PAIRS["crossed-band", "broad-strip"]
    spread = stated.CONFIGURATION * np.sqrt(2 / len(together))
    assert np.mean(together) == pytest.approx(apart + beyond, abs=3.5 * spread)


def test_a_wearer_scatters_around_their_face_as_stated(bench: Scenario) -> None:
    # Where all have one face, nothing else tells the wearers apart.
    alike = replace(
        bench.wearers,
        length_mm=np.full(400, 118.0),
        width_mm=np.full(400, 139.0),
        bridge=np.ones(400, dtype=np.int64),
    )
    own = stated.draw_truth(alike, bench.masks, bench.configurations, np.random.default_rng(3)).seal
    own -= own.mean(axis=0)
    assert own.std(axis=0).mean() == pytest.approx(
        np.hypot(np.hypot(stated.WEARER, stated.WEARER_MASK), stated.WEARER_CONFIGURATION), rel=0.08
    )
    assert own.mean(axis=1).std() == pytest.approx(stated.WEARER, rel=0.1)


def test_face_effects_have_the_kernel_they_are_drawn_for() -> None:
    rng = np.random.default_rng(5)
    draws = 4000
    effects = FaceEffects(
        frequencies=rng.normal(0, 1 / stated.LENGTH_SCALE, (3, stated.WAVES)),
        phases=rng.uniform(0, 2 * np.pi, stated.WAVES),
        amplitudes=rng.normal(0, 1, (stated.WAVES, draws)),
    )
    # Faces 0, 8 and 16 mm apart in length, that is 0, 1 and 2 units.
    values = effects([110, 118, 126], [139, 139, 139], [1, 1, 1])
    kernel = np.exp(-(np.array([0, 1, 2]) ** 2) / (2 * stated.LENGTH_SCALE**2))
    assert np.mean(values[0] * values, axis=1) == pytest.approx(kernel, abs=0.15)


def test_the_filter_limits_the_fit_factor() -> None:
    tight = through_filter(np.array([50.0]), np.array([0.002]))
    assert np.exp(tight) == pytest.approx(highest_fit_factor(0.002))
    leaky = through_filter(np.array([np.log(100)]), np.array([0.002]))
    assert np.exp(leaky) == pytest.approx(1 / (0.01 + 0.002 * 0.99))
    assert through_filter(np.array([-1.0]), np.array([0.0])) == 0


def test_scatter_differs_between_wearers_within_what_is_stated(bench: Scenario) -> None:
    gsd = np.exp(bench.truth.scatter)
    assert gsd.min() >= 1.3
    assert gsd.max() <= 2.2
    assert np.percentile(gsd, 75) - np.percentile(gsd, 25) > 0.2


def test_tests_come_from_the_truth() -> None:
    arguments = {"wearers": 60, "masks": 12, "seed": 2}
    bench = scenario(**arguments)
    truth = bench.truth
    row = {wearer: i for i, wearer in enumerate(bench.wearers.ids)}
    column = {configuration.id: i for i, configuration in enumerate(bench.configurations)}
    by = {(logger.instrument, logger.protocol, logger.sizes): i for i, logger in enumerate(LOGGERS)}
    # A configuration on a wearer as each logger measures it.
    seal = truth.seal[:, :, None] + truth.method[:, None, :]
    penetration = truth.penetration[:, None] * passing(LOGGERS)
    median = through_filter(seal, penetration)
    # The filter only bends the scale, so the pass level can be carried back to the seal: 1/FF = L + P(1 − L).
    leak = np.maximum((1 / PASS_LEVEL - penetration) / (1 - penetration), 1e-12)
    scatter = np.hypot(truth.scatter, stated.SPECIMEN)
    # A specimen was worn one and a half times before, on average.
    chance = norm.cdf((seal - 1.5 * stated.WEAR + np.log(leak)) / scatter[:, None, None])
    standard, passed = [], []
    for _, test in generate(tests=4000, **arguments):
        if not isinstance(test, Test) or test.result.set_aside or test.result.fit_factor is None or test.result.counts:
            continue
        how = test.conditions.instrument, test.result.protocol, test.conditions.size_selection
        place = row[test.face.wearer], column[configuration_id(test.mask, test.configuration)], by[how]  # type: ignore[index]
        if not test.result.at_least:
            standard.append((np.log(test.result.fit_factor) - median[place]) / scatter[place[0]])
        # A reading at least below the level leaves open whether it passed; no ceiling here is below it.
        passed.append((test.result.fit_factor >= PASS_LEVEL) - chance[place])
    assert np.median(standard) == pytest.approx(0, abs=0.12)
    assert np.std(standard) == pytest.approx(1, abs=0.12)
    assert np.mean(passed) == pytest.approx(0, abs=0.02)
