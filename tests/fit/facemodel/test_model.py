from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from builder.fit.compare.methods import METHOD
from builder.fit.facemodel import FaceDescription, FaceModel, TooLittleDataError, fit_face_model
from builder.fit.facemodel.design import build_catalogue
from builder.fit.facemodel.engine import Posterior
from builder.fit.facemodel.model import fit_counted
from builder.fit.facemodel.outlook import face_basis
from builder.fit.facemodel.population import panel, population_share, wanted
from builder.fit.facemodel.reference import REFERENCE
from tests.fit.facemodel import dense
from tests.fit.facemodel.simulation import World, simulate

WORLD = World(wearers=12, masks=8, configurations=24, tests=200, ceiling=400.0, cell_only_share=0.2)
EXTRA = pd.DataFrame(
    {"configuration": ["mask-new+soft-wire"], "mask": ["mask-new"], "style": ["cup"], "parts": ["soft-wire"]}
)


@pytest.fixture(scope="module")
def table() -> pd.DataFrame:
    return simulate(WORLD, 7)


@pytest.fixture(scope="module")
def model(table: pd.DataFrame) -> FaceModel:
    return fit_face_model(table, EXTRA)


def test_predictions_are_in_order(model: FaceModel) -> None:
    found = model.predict(FaceDescription(118, 138))
    assert found["configuration"].is_unique
    assert (found["low"] < found["chance"]).all()
    assert (found["chance"] < found["high"]).all()
    assert (found["fit_low"] < found["fit_factor"]).all()
    assert (found["fit_factor"] < found["fit_high"]).all()
    assert (found["near_wearers"] <= found["wearers"]).all()
    assert (found["little_known"] == (found["high"] - found["low"] > 0.5)).all()


def test_counts_of_wearers(model: FaceModel, table: pd.DataFrame) -> None:
    found = model.predict(FaceDescription(118, 138)).set_index("configuration")["wearers"]
    expected = table.groupby("configuration")["wearer"].nunique().reindex(found.index, fill_value=0)
    assert (found == expected).all()
    assert (model.predict(FaceDescription())["near_wearers"] == 0).all()


def test_untested_and_far_away_means_little_known(model: FaceModel) -> None:
    near, far = model.predict(FaceDescription(118, 138)), model.predict(FaceDescription(150, 170))
    width = near["high"] - near["low"]
    assert near["configuration"].iloc[int(width.argmax())] == "mask-new+soft-wire"
    assert (far["high"] - far["low"] > width).mean() > 0.8


def test_some_configurations_are_predicted_like_all(model: FaceModel) -> None:
    everything = model.predict(FaceDescription(cell="4", nose_bridge="low")).set_index("configuration")
    some = everything.index[[7, 2]].tolist()
    pd.testing.assert_frame_equal(
        model.predict(FaceDescription(cell="4", nose_bridge="low"), some).set_index("configuration"),
        everything.loc[some],
    )
    with pytest.raises(KeyError):
        model.predict(FaceDescription(), ["no-such-mask"])


def test_list_to_try_first(model: FaceModel) -> None:
    face = FaceDescription(112, 130, nose_bridge="high")
    suggestions = model.try_first(face, 4)
    chances = model.predict(face).set_index("configuration")["chance"]
    assert suggestions[0].configuration == chances.idxmax()
    assert suggestions[0].cumulative_chance == pytest.approx(suggestions[0].chance)
    assert [s.chance for s in suggestions] == pytest.approx(chances[[s.configuration for s in suggestions]].tolist())
    cumulative = [s.cumulative_chance for s in suggestions]
    assert cumulative == sorted(cumulative)
    assert suggestions == model.try_first(face, 4)
    few = chances.index[:2].tolist()
    assert {s.configuration for s in model.try_first(face, 4, few)} == set(few)
    both = model.predict_and_try_first(face, 4)
    pd.testing.assert_frame_equal(both[0], model.predict(face))
    assert both[1] == suggestions


def test_a_wearers_own_tests_count(model: FaceModel, table: pd.DataFrame) -> None:
    exact = table[~table["at_least"]]
    repeats = exact.groupby(["wearer", "configuration"]).size().rename("tests").reset_index()
    most = repeats.iloc[int(repeats["tests"].argmax())]
    wearer, configuration = str(most["wearer"]), str(most["configuration"])
    own = model.predict_wearer(wearer, [configuration]).iloc[0]
    row = table[table["wearer"] == wearer].iloc[0]
    known = not np.isnan(row["face_length_mm"])
    face = FaceDescription(row["face_length_mm"], row["face_width_mm"]) if known else FaceDescription(cell=row["cell"])
    other = model.predict(face, [configuration]).iloc[0]
    assert own["fit_high"] / own["fit_low"] < other["fit_high"] / other["fit_low"]
    with pytest.raises(KeyError):
        model.predict_wearer("nobody")


def test_next_tests(model: FaceModel) -> None:
    sooner = model.next_test("wearer-0003")
    assert sooner["value"].is_monotonic_decreasing
    assert (sooner["value"] == sooner["chance"]).all()
    best = model.next_test("wearer-0003", goal="best")
    assert best["value"].is_monotonic_decreasing
    assert (best["value"] >= 0).all()
    assert set(best["configuration"]) == set(sooner["configuration"])


def test_population_is_the_average_over_cells(model: FaceModel) -> None:
    found = model.population()
    _, weights = panel()
    each = [model.predict(FaceDescription(cell=str(cell)))["chance"].to_numpy() for cell in range(1, 11)]
    assert found["chance"].to_numpy() == pytest.approx(np.array(each).T @ weights)
    assert (found["low"] < found["chance"]).all()
    assert (found["chance"] < found["high"]).all()
    assert (found["tried"] <= found["mask_tried"]).all()
    assert found.set_index("configuration").loc["mask-new+soft-wire", "mask_tried"] == 0


def test_unknown_scales_widen_the_population_interval(model: FaceModel) -> None:
    limit = float(np.log(100))
    drawn = model.population()
    fixed = population_share([model.best], [face_basis(model.best)], limit)
    assert (drawn["high"] - drawn["low"]).mean() > (fixed.high - fixed.low).mean()


def test_wanted_tests_against_the_dense_covariance(model: FaceModel) -> None:
    posterior: Posterior = model.best
    limit = float(np.log(100))
    faces, weights = panel()
    design, scales = posterior.design, posterior.scales
    count = len(design.catalogue.configurations)
    everything = np.arange(count)
    # Strangers of all cells side by side; what is their own is left out of the covariance between them.
    everyone = [dense.stranger(design, face, everything) for face in faces]
    joined = dense.Points(
        np.repeat(-1 - np.arange(len(faces)), count),
        np.tile(everything, len(faces)),
        np.concatenate([p.features for p in everyone]),
        np.concatenate([p.missing for p in everyone]),
        np.concatenate([p.missing_mask for p in everyone]),
        np.concatenate([p.bridge for p in everyone]),
        np.concatenate([p.levels for p in everyone]),
    )
    mean, covariance = dense.posterior(design, scales, posterior.readings, joined)
    between = dense.covariance(
        design, replace(scales, style=0, mask=0, configuration=0, hack=0, **dict.fromkeys(METHOD, 0.0)), joined, joined
    )
    kernels = joined.features @ joined.features.T
    style, mask = design.catalogue.style[joined.configuration], design.catalogue.mask[joined.configuration]
    few = joined.features[:, :7]
    smooth = (
        scales.face**2 * kernels
        + scales.face_style**2 * kernels * (style[:, None] == style)
        + scales.face_mask**2 * (few @ few.T) * (mask[:, None] == mask)
    )
    known = covariance - (between - smooth)
    total = np.sqrt(np.diagonal(covariance) + scales.redonning**2)
    slope = np.repeat(weights, count) * np.exp(-0.5 * ((mean - limit) / total) ** 2) / np.sqrt(2 * np.pi) / total
    target = slope[:, None] * np.tile(np.eye(count), (len(faces), 1))
    across = known @ target
    before = np.diagonal(target.T @ across).sum()
    expected = ((across**2).sum(axis=1) / total**2 / before).reshape(len(faces), count)
    found = wanted(posterior, face_basis(posterior), limit)
    assert found.gain == pytest.approx(expected.max(axis=0), rel=1e-6)
    assert (found.cell == expected.argmax(axis=0)).all()
    answer = model.wanted_tests(5)
    assert answer["gain"].is_monotonic_decreasing
    assert len(answer) == 5


def test_unusual_tests_stand_out(table: pd.DataFrame) -> None:
    odd = table.copy()
    place = odd.index[~odd["at_least"]][10]
    odd.loc[place, "fit_factor"] = np.exp(np.log(odd.loc[place, "fit_factor"]) - 5)
    found = fit_face_model(odd).unusual_tests().set_index("test")
    assert found.loc[odd.loc[place, "test"], "unusual"]
    assert found["unusual"].sum() < 4
    assert found["z"].abs().median() < 1
    assert (found.loc[odd.loc[odd["at_least"], "test"], "z"] >= 0).all()


def test_leave_one_out_residuals_match_leaving_one_out(table: pd.DataFrame) -> None:
    exact = table[~table["at_least"]].reset_index(drop=True)
    model = fit_face_model(exact)
    found = model.unusual_tests().set_index("test")
    design, posterior = model.design, model.best
    left = exact.index[5]
    precision = posterior.readings.precision.copy()
    precision[left] = 1e-10
    arm = design.arm[[left]]
    mean, variance = dense.posterior(
        design,
        model.scales,
        replace(posterior.readings, precision=precision),
        dense.points(design, design.arm_wearer[arm], design.arm_configuration[arm]),
    )
    expected = (design.reading[left] - mean[0]) / np.sqrt(variance[0, 0] + model.scales.redonning**2)
    assert found["z"].iloc[left] == pytest.approx(expected, abs=1e-6)


def test_set_aside_tests_do_not_count(table: pd.DataFrame, model: FaceModel) -> None:
    more = pd.concat([table, table.assign(counted=False, fit_factor=1.0, test="x" + table["test"])])
    again = fit_face_model(more, EXTRA)
    pd.testing.assert_frame_equal(again.predict(FaceDescription(118, 138)), model.predict(FaceDescription(118, 138)))


def test_a_reading_below_one_is_no_protection(table: pd.DataFrame) -> None:
    low = table.copy()
    low.loc[0, "fit_factor"] = 0.5
    low.loc[0, "at_least"] = False
    assert fit_face_model(low).design.reading.min() == 0.0


def test_large_tables_use_one_posterior_and_some_wearers(monkeypatch: pytest.MonkeyPatch, table: pd.DataFrame) -> None:
    monkeypatch.setattr("builder.fit.facemodel.model.MANY_TESTS", 100)
    monkeypatch.setattr("builder.fit.facemodel.model.FEW_TESTS", 150)
    model = fit_counted(table, build_catalogue(table), 100.0)
    assert model.posteriors == (model.best,)
    assert len(model.design.tests) == len(table)
    assert np.isfinite(model.predict(FaceDescription(118, 138))["chance"]).all()


def test_too_little_data(table: pd.DataFrame) -> None:
    few = table[table["wearer"] < "wearer-0005"]
    with pytest.raises(TooLittleDataError, match="few-wearers: 5 wearers, 8 needed"):
        fit_face_model(few)
    with pytest.raises(TooLittleDataError, match="only-limits"):
        fit_face_model(table.assign(at_least=True))
    with pytest.raises(TooLittleDataError):
        fit_face_model(table.assign(counted=False))


def test_another_pass_level(table: pd.DataFrame, model: FaceModel) -> None:
    harder = fit_face_model(table, EXTRA, pass_level=500.0)
    assert (
        harder.predict(FaceDescription(118, 138))["chance"] < model.predict(FaceDescription(118, 138))["chance"]
    ).all()


def test_one_mask_as_sold_is_enough_to_fit() -> None:
    table = simulate(World(wearers=9, masks=1, configurations=1, tests=20), 2)
    model = fit_face_model(table)
    assert model.predict(FaceDescription(118, 138))["chance"].between(0, 1).all()
    assert len(model.try_first(FaceDescription(118, 138))) == 1
    assert len(model.population()) == len(model.wanted_tests()) == 1


def test_a_face_known_by_its_cell_alone_is_less_certain(model: FaceModel) -> None:
    known, cell = (
        model.predict(FaceDescription(113.5, 138.5, nose_bridge="low")),
        model.predict(FaceDescription(cell="4")),
    )
    assert (cell["fit_high"] / cell["fit_low"] > known["fit_high"] / known["fit_low"]).all()


def test_answers_do_not_depend_on_the_order_of_rows(table: pd.DataFrame, model: FaceModel) -> None:
    shuffled = fit_face_model(table.sample(frac=1, random_state=1), EXTRA)
    one, other = model.predict(FaceDescription(118, 138)), shuffled.predict(FaceDescription(118, 138))
    assert (one["configuration"] == other["configuration"]).all()
    assert other["chance"].to_numpy() == pytest.approx(one["chance"].to_numpy(), abs=1e-3)


def test_whoever_measured_by_several_methods_is_one_wearer() -> None:
    table = simulate(World(mixed_methods=True), 2)
    model = fit_face_model(table)
    found = model.predict(FaceDescription(118, 140)).set_index("configuration")["wearers"]
    assert found.to_dict() == table.groupby("configuration")["wearer"].nunique().to_dict()
    assert len(model.design.arm_wearer) > len(table.drop_duplicates(["wearer", "configuration"]))


def test_a_method_moves_all_chances_alike() -> None:
    model = fit_face_model(simulate(World(mixed_methods=True), 2))
    face, names = FaceDescription(118, 140), model.design.catalogue.configurations[:4].tolist()
    reference = model.predict(face, names)
    same = pd.DataFrame([vars(REFERENCE)] * 4)
    pd.testing.assert_frame_equal(model.predict(face, names, same), reference)
    other = model.predict(face, names, same.assign(instrument="optical-counter"))
    shift = np.log(other["fit_factor"] / reference["fit_factor"])
    assert np.ptp(shift) < 1e-6 < abs(shift[0])
    with pytest.raises(KeyError):
        model.predict(face, names, same.assign(instrument="abacus"))


def test_masks_alike_draw_chances_together(model: FaceModel) -> None:
    assert model.alike is not None
    face = FaceDescription(118, 140)
    plain, alike = model.predict(face), replace(model, alike_weight=1.0).predict(face)
    half = replace(model, alike_weight=0.5)
    assert np.ptp(alike["chance"]) < 0.2 * np.ptp(plain["chance"])
    assert half.predict(face)["chance"].to_numpy() == pytest.approx((plain["chance"] + alike["chance"]).to_numpy() / 2)
    shares = [one.population()["chance"].to_numpy() for one in (model, half, replace(model, alike_weight=1.0))]
    assert shares[1] == pytest.approx((shares[0] + shares[2]) / 2)
    claimed = [one.try_first(face)[-1].cumulative_chance for one in (model, half)]
    assert claimed[1] < claimed[0]
