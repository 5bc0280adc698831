"""Own results against a Gaussian process written out by hand, and what must hold whatever is told."""

from dataclasses import replace
from itertools import permutations

import numpy as np
import pandas as pd
import pytest

from builder.fit.arrays import FloatArray
from builder.fit.compare.methods import Method
from builder.fit.facemodel import FaceDescription, FaceModel, Scales, fit_face_model
from builder.fit.facemodel.design import Design
from builder.fit.facemodel.engine import Readings
from builder.fit.facemodel.kernel import embed
from builder.fit.facemodel.own_results import OwnResult
from builder.fit.facemodel.personal import informed
from tests.fit.facemodel.dense import Points, covariance, posterior, stranger
from tests.fit.facemodel.dense import tested as of_tests
from tests.fit.facemodel.simulation import World, simulate

FACE = FaceDescription(117, 138, nose_bridge="high")
TABLE = simulate(World(wearers=10, masks=8, configurations=24, tests=160), 5)


@pytest.fixture(scope="module")
def model() -> FaceModel:
    return fit_face_model(TABLE)


@pytest.fixture(scope="module")
def single(model: FaceModel) -> FaceModel:
    """The same at its best scales alone."""
    return replace(model, posteriors=(model.best,))


def chances(model: FaceModel, *own: OwnResult, face: FaceDescription = FACE, wearer: str = "") -> "pd.Series[float]":
    return informed(model, face, own, wearer=wearer).predict().set_index("configuration")["chance"]


def reading(model: FaceModel, number: int, fit_factor: float) -> OwnResult:
    return OwnResult(str(model.design.catalogue.configurations[number]), "fit-factor", fit_factor)


def joined(*several: Points) -> Points:
    return Points(*(np.concatenate([getattr(p, name) for p in several]) for name in vars(several[0])))


def joint(design: Design, scales: Scales, a: Points, b: Points) -> FloatArray:
    """The prior covariance, in which a person's masks of one style share what the face's features lose as well."""
    style = design.catalogue.style
    mask = design.catalogue.mask
    same = (a.wearer[:, None] == -1) & (b.wearer == -1)
    same &= style[a.configuration][:, None] == style[b.configuration]
    same &= mask[a.configuration][:, None] != mask[b.configuration]
    return np.asarray(covariance(design, scales, a, b) + scales.face_style**2 * same * a.missing[:, None])


def test_exact_results_against_kriging_by_hand(single: FaceModel) -> None:
    design, best = single.design, single.best
    own = [reading(single, number, value) for number, value in ((0, 30.0), (7, 400.0), (7, 250.0))]
    everything = stranger(design, embed(FACE), np.arange(24))
    at = joined(of_tests(design), stranger(design, embed(FACE), np.array([0, 7, 7])))
    location = np.concatenate([design.reading, np.log([30.0, 400.0, 250.0])])
    total = joint(design, best.scales, at, at) + best.scales.redonning**2 * np.eye(len(location))
    inverse, across = np.linalg.inv(total), joint(design, best.scales, everything, at)
    centre = (inverse @ location).sum() / inverse.sum()
    left = 1 - across @ inverse.sum(axis=1)
    mean = centre + across @ inverse @ (location - centre)
    variance = (
        joint(design, best.scales, everything, everything) - across @ inverse @ across.T
    ).diagonal() + left**2 / inverse.sum()
    (found,) = informed(single, FACE, own).outlooks
    assert found.mean == pytest.approx(mean, abs=2e-3)
    assert found.variance == pytest.approx(variance, abs=2e-3)


def test_people_alike_differ_by_what_is_left_of_their_own_terms(single: FaceModel) -> None:
    """Were everything known of the configurations, a person's terms given their result would be all that is left."""
    design, best = single.design, single.best
    everything = stranger(design, embed(FACE), np.arange(24))
    full = joint(design, best.scales, everything, everything)
    elsewhere = replace(everything, wearer=np.full(24, -2))
    own_part = full - joint(design, best.scales, elsewhere, everything)
    expected = own_part - own_part[:, :1] @ own_part[:1] / (own_part[0, 0] + best.scales.redonning**2)
    (found,) = informed(single, FACE, [reading(single, 0, 30.0)]).outlooks
    # What the features lose counts as unknown there and as the person's own here.
    assert found.own == pytest.approx(expected.diagonal(), abs=0.02)
    assert (found.known >= 0).all()


def test_the_weights_follow_the_evidence_of_the_results(model: FaceModel) -> None:
    own = reading(model, 3, 2_000.0)
    found = informed(model, FACE, [own])
    heights = []
    for one in model.posteriors:
        outlook = informed(replace(model, posteriors=(one,)), FACE, [own])
        assert outlook.weights == pytest.approx([1.0])
        before = replace(model, posteriors=(one,)).outlooks(FACE)[0]
        variance = before.covariance(np.array([3]))[0, 0] + one.scales.redonning**2
        heights.append(np.exp(-0.5 * (np.log(2_000) - before.mean[3]) ** 2 / variance) / np.sqrt(variance))
    assert found.weights == pytest.approx(np.array(heights) / sum(heights))


def test_known_wearers_results_add_to_their_tests(single: FaceModel) -> None:
    """Told by someone with tests, a result counts as one more of them."""
    design = single.design
    wearer = 4
    names = design.catalogue.configurations
    at = of_tests(design)
    more = Points(
        np.array([wearer]),
        np.array([2]),
        design.wearers.features[[wearer]],
        design.wearers.missing[[wearer]],
        design.wearers.missing_mask[[wearer]],
        design.wearers.bridge[[wearer]],
        design.catalogue.reference[None],
    )
    at, location = joined(at, more), np.append(design.reading, np.log(64.0))
    who = design.wearers
    targets = Points(
        np.full(24, wearer),
        np.arange(24),
        np.tile(who.features[wearer], (24, 1)),
        np.full(24, who.missing[wearer]),
        np.full(24, who.missing_mask[wearer]),
        np.full(24, who.bridge[wearer]),
        np.tile(design.catalogue.reference, (24, 1)),
    )
    scales = single.best.scales
    total = covariance(design, scales, at, at) + scales.redonning**2 * np.eye(len(location))
    inverse, across = np.linalg.inv(total), covariance(design, scales, targets, at)
    centre = (inverse @ location).sum() / inverse.sum()
    mean = centre + across @ inverse @ (location - centre)
    own = [OwnResult(str(names[2]), "fit-factor", 64.0)]
    (found,) = informed(single, who.faces[wearer], own, wearer=str(who.names[wearer])).outlooks
    assert found.mean == pytest.approx(mean, abs=2e-3)
    assert found.own == pytest.approx(np.zeros(24))


def test_a_mask_that_the_model_lacks_tells_by_its_style(single: FaceModel) -> None:
    listed = chances(single, reading(single, 0, 2_000.0))
    before = single.predict(FACE).set_index("configuration")["chance"]
    style = str(TABLE.set_index("configuration")["style"].loc[listed.index[0]].iloc[0])
    same = chances(single, OwnResult("", "fit-factor", 2_000.0, style=style))
    other = chances(single, OwnResult("", "fit-factor", 2_000.0, style="elastomeric"))
    of_style = TABLE.loc[TABLE["style"] == style, "configuration"].unique()
    assert (same > before).all()
    assert (same[of_style] - other[of_style]).min() > 0
    assert listed.iloc[0] > same.iloc[0]


def test_an_unlisted_mask_is_a_listed_one_that_nobody_has_tested() -> None:
    """Its rows equal those of a mask that was only added to the catalogue."""
    style = str(TABLE["style"].iloc[0])
    added = pd.DataFrame({"configuration": ["new"], "mask": ["new"], "style": [style], "parts": [""]})
    model = fit_face_model(TABLE, added)
    model = replace(model, posteriors=(model.best,))
    known = chances(model, OwnResult("new", "fit-factor", 500.0))
    told = chances(model, OwnResult("", "fit-factor", 500.0, style=style))
    others = [name for name in known.index if name != "new"]
    assert told[others].to_numpy() == pytest.approx(known[others].to_numpy(), abs=1e-3)


def test_order_does_not_matter(model: FaceModel) -> None:
    names = model.design.catalogue.configurations
    own = [
        OwnResult(str(names[0]), "passed"),
        OwnResult(str(names[5]), "failed", kind="taste"),
        OwnResult(str(names[9]), "fit-factor", 45.0),
    ]
    found = [chances(model, *order).to_numpy() for order in permutations(own)]
    for other in found[1:]:
        assert other == pytest.approx(found[0], abs=1e-4)


def test_what_was_expected_moves_little(single: FaceModel) -> None:
    (before,) = single.outlooks(FACE)
    told = chances(single, reading(single, 0, float(np.exp(before.mean[0]))))
    (after,) = informed(single, FACE, [reading(single, 0, float(np.exp(before.mean[0])))]).outlooks
    assert after.mean == pytest.approx(before.mean)
    assert told.between(0, 1).all()
    likely = int(np.argmax(before.mean))
    moved = chances(single, OwnResult(str(single.design.catalogue.configurations[likely]), "passed"))
    less = single.predict(FACE).set_index("configuration")["chance"]
    unlikely = chances(single, OwnResult(str(single.design.catalogue.configurations[likely]), "failed"))
    assert (moved - less).abs().max() < (unlikely - less).abs().max()


@pytest.mark.parametrize("number", [0, 6, 13])
def test_a_better_result_never_lowers_the_chance_of_the_same(model: FaceModel, number: int) -> None:
    name = str(model.design.catalogue.configurations[number])
    steps = [chances(model, reading(model, number, value))[name] for value in np.geomspace(1, 20_000, 15)]
    assert (np.diff(steps) > -1e-9).all()
    words = [OwnResult(name, "leaks"), OwnResult(name, "failed"), OwnResult(name, "failed", kind="taste")]
    words += [OwnResult(name, "passed", kind="taste"), OwnResult(name, "passed")]
    said = [chances(model, word)[name] for word in words]
    assert said == sorted(said)


def test_a_reading_by_another_method_moves_less(single: FaceModel) -> None:
    plain = reading(single, 0, 2_000.0)
    breathing = Method("one-exercise", "condensation-counter", "narrow-band")
    before = single.predict(FACE)["chance"].to_numpy()
    moved = chances(single, plain).to_numpy() - before
    less = chances(single, replace(plain, method=breathing)).to_numpy() - before
    assert (less > 0).all()
    assert (less < moved).all()


def test_the_list_and_both_intervals(model: FaceModel) -> None:
    found = informed(model, FACE, [reading(model, 0, 30.0)])
    table, first = found.predict(), found.try_first()
    chance = table.set_index("configuration")["chance"]
    assert first[0].configuration == chance.idxmax()
    assert [one.chance for one in first] == pytest.approx([chance[one.configuration] for one in first])
    assert table["chance_before"].to_numpy() == pytest.approx(model.predict(FACE)["chance"].to_numpy())
    between = table[table["chance"].between(0.1, 0.9)]
    assert (between["own_low"] < between["low"]).all()
    assert (between["own_high"] > between["high"]).all()
    some = chance.index[[4, 2, 9]].tolist()
    assert found.predict(some)["configuration"].tolist() == some
    assert {one.configuration for one in found.try_first(3, some)} == set(some)


def test_the_most_telling_test_by_hand(single: FaceModel) -> None:
    found = informed(single, FACE, [reading(single, 0, 30.0)])
    (outlook,) = found.outlooks
    together = outlook.covariance(np.arange(24))
    noise = outlook.redonning**2
    told = {}
    for number, name in enumerate(single.design.catalogue.configurations):
        total = np.sqrt(together.diagonal() + noise)
        slope = np.exp(-0.5 * ((outlook.mean - single.limit) / total) ** 2) / np.sqrt(2 * np.pi) / total
        told[name] = ((slope * together[:, number]) ** 2).sum() / (together[number, number] + noise)
    table = found.telling()
    assert table["told"].to_numpy() == pytest.approx([told[name] for name in table["configuration"]])
    assert table["told"].is_monotonic_decreasing


def test_readings_are_those_of_the_model(single: FaceModel) -> None:
    """The hand calculation above rests on the model's own readings being exact."""
    assert not single.design.at_least.any()
    readings = Readings(single.design.reading, np.full(len(TABLE), 1 / single.scales.redonning**2))
    mean, _ = posterior(single.design, single.scales, readings, stranger(single.design, embed(FACE), np.arange(24)))
    assert single.outlooks(FACE)[0].mean == pytest.approx(mean, abs=2e-3)


def test_own_results_where_all_the_weight_is_on_masks_being_alike(model: FaceModel) -> None:
    assert model.alike is not None
    stacked = replace(model, alike_weight=1.0)
    found = informed(stacked, FACE, [reading(model, 0, 30.0)])
    assert found.weights.tolist() == pytest.approx([*[0.0] * len(model.posteriors), 1.0])
