"""The model in few numbers against the whole one."""

import numpy as np
import pytest

from builder.fit.arrays import FloatArray
from builder.fit.facemodel import FaceDescription, FaceModel, fit_face_model
from builder.fit.facemodel.condensed import CondensedPosterior, condense, turned
from builder.fit.facemodel.kernel import FEATURES, MASK_FEATURES, Embedding, embed, population_features
from tests.fit.facemodel.simulation import World, simulate

FACES = [
    FaceDescription(117, 138, nose_bridge="high"),
    FaceDescription(104, 128, nose_bridge="low"),
    FaceDescription(cell="8"),
    FaceDescription(),
]


@pytest.fixture(scope="module")
def model() -> FaceModel:
    return fit_face_model(simulate(World(wearers=12, masks=10, configurations=40, tests=220, parts_by_bridge=0.3), 7))


@pytest.fixture(scope="module")
def rows(model: FaceModel) -> CondensedPosterior:
    return condense(model.mixed, model.bases)[0]


def on_face(model: FaceModel, rows: CondensedPosterior, face: Embedding) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Mean, shared and own loadings of all configurations, from the rows alone."""
    catalogue = model.design.catalogue
    every, few = turned(FEATURES), turned(MASK_FEATURES)
    z, some = every.turn @ (face.features - every.mean), few.turn @ (face.features[:MASK_FEATURES] - few.mean)
    held = face.bridge * catalogue.parts
    mean = rows.mean + (rows.style_mean[:, 1:] @ z)[catalogue.style] + (rows.mask_mean @ some)[catalogue.mask]
    shared = rows.loading + np.tensordot(z, rows.style_loading[:, 1:], (0, 1))[catalogue.style]
    shared += np.tensordot(some, rows.mask_loading, (0, 1))[catalogue.mask] + held @ rows.bridge_loading
    own = rows.own_loading + np.tensordot(some, rows.own_mask_loading, (0, 1))[catalogue.mask]
    return mean + held @ rows.bridge_mean, shared, own


@pytest.mark.parametrize("face", FACES)
def test_means_are_exact_and_covariances_near(
    model: FaceModel, rows: CondensedPosterior, face: FaceDescription
) -> None:
    outlook = model.outlooks(face)[0]
    mean, shared, own = on_face(model, rows, embed(face))
    assert mean == pytest.approx(outlook.mean)
    same = model.design.catalogue.mask[:, None] == model.design.catalogue.mask
    style = model.design.catalogue.style[:, None] == model.design.catalogue.style
    joint = shared @ shared.T + same * (own @ own.T) + np.diag(rows.left)
    joint += outlook.common + outlook.same_style * style + same * outlook.same_mask[0] ** 2 + np.diag(outlook.alone)
    exact = outlook.covariance(np.arange(len(mean)))
    assert joint == pytest.approx(exact, abs=0.1)
    assert float(np.abs(joint - exact).mean()) < 0.01


def test_turned_features_are_plain_over_the_population() -> None:
    features, weights = population_features()
    turn = turned(FEATURES)
    z = (features - turn.mean) @ turn.turn.T
    assert weights @ z == pytest.approx(np.zeros(FEATURES), abs=1e-9)
    assert z.T @ (weights[:, None] * z) == pytest.approx(np.eye(FEATURES), abs=1e-7)


def test_a_style_without_masks_has_a_row(model: FaceModel, rows: CondensedPosterior) -> None:
    assert len(rows.style_mean) == len(model.design.catalogue.styles) + 1
    assert rows.style_loading.shape[:2] == (len(rows.style_mean), 1 + FEATURES)
