from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from builder.fit.facemodel.design import Design, build_catalogue, build_design
from builder.fit.facemodel.engine import Readings, exact_readings, solve
from builder.fit.facemodel.estimate import log_posterior
from builder.fit.facemodel.evidence import variances
from builder.fit.facemodel.kernel import FaceDescription, embed
from builder.fit.facemodel.outlook import face_basis, face_outlook, wearer_outlook
from builder.fit.facemodel.population import population_share
from builder.fit.facemodel.scales import ESTIMATED, ScalePrior, Scales
from tests.fit.facemodel import dense
from tests.fit.facemodel.simulation import World, simulate

SCALES = Scales(face=0.5, wearer_configuration=0.3)
SMALL = World(wearers=6, masks=5, configurations=14, tests=45, cell_only_share=0.3, bridge_known_share=0.6)
UNTESTED = pd.DataFrame(
    {
        "configuration": ["mask-0001+new-part", "mask-new", "mask-new+soft-wire"],
        "mask": ["mask-0001", "mask-new", "mask-new"],
        "style": ["duckbill", "balaclava", "balaclava"],
        "parts": ["new-part", "", "soft-wire"],
    }
)


def design_of(world: World = SMALL, seed: int = 1) -> Design:
    table = simulate(world, seed)
    table["counting_sd"] = np.resize([0.0, 0.1, 0.35], len(table))
    return build_design(table, build_catalogue(table, UNTESTED))


@pytest.fixture(scope="module", params=[False, True], ids=["one method", "several methods"])
def design(request: pytest.FixtureRequest) -> Design:
    return design_of(replace(SMALL, mixed_methods=request.param))


def test_evidence_matches_the_dense_one(design: Design) -> None:
    readings = exact_readings(design, SCALES)
    assert solve(design, SCALES, readings).log_evidence == pytest.approx(
        dense.log_evidence(design, SCALES, readings), abs=1e-8
    )


def test_arms_match_the_dense_posterior(design: Design) -> None:
    readings = exact_readings(design, SCALES)
    posterior = solve(design, SCALES, readings)
    arms = dense.points(design, design.arm_wearer, design.arm_configuration, design.arm_levels)
    mean, covariance = dense.posterior(design, SCALES, readings, arms)
    assert posterior.arm_mean + design.centre == pytest.approx(mean, abs=1e-8)
    assert posterior.arm_variance(variances(posterior).arm_sum) == pytest.approx(np.diagonal(covariance), abs=1e-8)


@pytest.mark.parametrize(
    "face",
    [
        FaceDescription(121, 136, nose_bridge="high"),
        FaceDescription(cell="7"),
        FaceDescription(160, 170),
        FaceDescription(),
    ],
)
def test_new_faces_match_the_dense_posterior(design: Design, face: FaceDescription) -> None:
    readings = exact_readings(design, SCALES)
    posterior = solve(design, SCALES, readings)
    everything = np.arange(len(design.catalogue.configurations))
    outlook = face_outlook(posterior, face_basis(posterior), embed(face))
    mean, covariance = dense.posterior(design, SCALES, readings, dense.stranger(design, embed(face), everything))
    assert outlook.mean == pytest.approx(mean, abs=1e-8)
    # The dense reference puts what one style's masks share of an uncertain face on each mask by itself.
    missing = SCALES.face_style**2 * (embed(face).truncated + embed(face).spread)
    style, mask = design.catalogue.style, design.catalogue.mask
    shared = missing * ((style[:, None] == style) & (mask[:, None] != mask))
    assert outlook.covariance(everything) == pytest.approx(covariance + shared, abs=1e-8)
    assert outlook.variance == pytest.approx(np.diagonal(covariance), abs=1e-8)
    some = np.array([3, 1, 15])
    part = face_outlook(posterior, face_basis(posterior), embed(face), some)
    assert part.covariance(np.arange(3)) == pytest.approx((covariance + shared)[np.ix_(some, some)], abs=1e-8)
    assert outlook.covariance(some) == pytest.approx(part.covariance(np.arange(3)), abs=1e-12)


def test_a_new_face_by_other_methods_matches_the_dense_posterior() -> None:
    design = design_of(replace(SMALL, mixed_methods=True))
    readings = exact_readings(design, SCALES)
    posterior = solve(design, SCALES, readings)
    face, some = embed(FaceDescription(118, 140, nose_bridge="low")), np.array([2, 0, 9])
    levels = design.arm_levels[np.unique(design.arm_levels[:, 0], return_index=True)[1]]
    assert len(np.unique(levels, axis=0)) > 1
    outlook = face_outlook(posterior, face_basis(posterior), face, some, levels)
    mean, covariance = dense.posterior(design, SCALES, readings, dense.stranger(design, face, some, levels))
    assert outlook.mean == pytest.approx(mean, abs=1e-8)
    assert outlook.variance == pytest.approx(np.diagonal(covariance), abs=1e-8)


@pytest.mark.parametrize("wearer", [0, 3, 5])
@pytest.mark.parametrize("mixed", [False, True])
def test_known_wearers_match_the_dense_posterior(wearer: int, mixed: bool) -> None:
    """By several methods exactly where nothing is a wearer's own in a configuration alone."""
    design = design_of(replace(SMALL, mixed_methods=mixed))
    scales = replace(SCALES, wearer_configuration=1e-6) if mixed else SCALES
    readings = exact_readings(design, scales)
    posterior = solve(design, scales, readings)
    everything = np.arange(len(design.catalogue.configurations))
    mean, covariance = dense.posterior(
        design, scales, readings, dense.points(design, np.full(len(everything), wearer), everything)
    )
    outlook = wearer_outlook(posterior, wearer)
    assert outlook.mean == pytest.approx(mean, abs=1e-8)
    assert outlook.covariance(everything) == pytest.approx(covariance, abs=1e-8)
    assert outlook.known == pytest.approx(np.diagonal(covariance), abs=1e-8)


def test_a_wearers_own_in_a_configuration_is_carried_from_one_method_to_another() -> None:
    table = simulate(SMALL, 3)
    own = table["wearer"] == "wearer-0002"
    table.loc[own, "protocol"] = "one-exercise"
    design = build_design(table, build_catalogue(table))
    posterior = solve(design, SCALES, exact_readings(design, SCALES))
    outlook = wearer_outlook(posterior, 2)
    arms = np.flatnonzero(design.arm_wearer == 2)
    tried = design.arm_configuration[arms]
    columns = design.columns
    one = columns.first_level + design.catalogue.levels.index(("protocol", "one-exercise"))
    eight = columns.first_level + design.catalogue.levels.index(("protocol", "eight-exercise"))
    adds = SCALES.protocol / 2**0.5 * (posterior.shared[one] - posterior.shared[eight])
    assert outlook.mean[tried] == pytest.approx(posterior.arm_mean[arms] + design.centre - adds)
    # What the protocol adds is not known for sure.
    assert (outlook.known[tried] > posterior.arm_variance(variances(posterior).arm_sum)[arms]).all()


@pytest.mark.parametrize(("ceiling", "tolerance"), [(np.inf, 1e-5), (150.0, 0.02)])
@pytest.mark.parametrize("mixed", [False, True])
def test_gradient_is_the_slope_of_the_log_posterior(ceiling: float, tolerance: float, mixed: bool) -> None:
    design = design_of(replace(SMALL, ceiling=ceiling, mixed_methods=mixed), seed=4)
    prior = ScalePrior()
    at, step = SCALES.logs(), 1e-3
    gradient = log_posterior(design, SCALES, prior).gradient
    for number in range(len(ESTIMATED)):
        away = step * np.eye(len(ESTIMATED))[number]
        above = log_posterior(design, SCALES.with_logs(at + away), prior).value
        below = log_posterior(design, SCALES.with_logs(at - away), prior).value
        assert gradient[number] == pytest.approx((above - below) / (2 * step), abs=tolerance)


def test_untested_configurations_change_nothing_else() -> None:
    table = simulate(SMALL, 2)
    plain = build_design(table, build_catalogue(table))
    more = build_design(table, build_catalogue(table, UNTESTED))
    a = solve(plain, SCALES, exact_readings(plain, SCALES))
    b = solve(more, SCALES, exact_readings(more, SCALES))
    assert b.log_evidence == pytest.approx(a.log_evidence, abs=1e-9)
    same = more.catalogue.number.reindex(plain.catalogue.configurations).to_numpy(int)
    face = embed(FaceDescription(115, 140))
    one = face_outlook(a, face_basis(a), face)
    other = face_outlook(b, face_basis(b), face)
    assert other.mean[same] == pytest.approx(one.mean, abs=1e-10)
    assert other.known[same] == pytest.approx(one.known, abs=1e-10)
    shares = population_share([a], [face_basis(a)], np.log(100)), population_share([b], [face_basis(b)], np.log(100))
    assert shares[1].low[same] == pytest.approx(shares[0].low, abs=1e-8)


def test_mirrored_readings_give_mirrored_answers(design: Design) -> None:
    readings = exact_readings(design, SCALES)
    mirrored = Readings(2 * design.centre - readings.location, readings.precision)
    posterior, other = solve(design, SCALES, readings), solve(design, SCALES, mirrored)
    assert other.log_evidence == pytest.approx(posterior.log_evidence)
    assert other.arm_mean == pytest.approx(-posterior.arm_mean, abs=1e-10)
