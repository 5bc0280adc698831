import numpy as np
import pytest

from builder.fit.facemodel.kernel import (
    FEATURES,
    MASK_FEATURES,
    FaceDescription,
    bridge_map,
    embed,
    features,
    kernel,
    place_mm,
    plane_map,
)


def test_plane_features_at_the_middle() -> None:
    phi = plane_map()(np.zeros((1, 2)))[0]
    assert phi[:6] @ phi[:6] == pytest.approx(0.98722, abs=1e-5)
    # The next shell is odd, and so adds nothing there.
    assert phi[:10] @ phi[:10] == pytest.approx(0.98722, abs=1e-5)


def test_plane_eigenvalues_come_in_shells() -> None:
    expected = [0.4405, 0.1491, 0.1491, 0.0505, 0.0503, 0.0503, 0.0170, 0.0170, 0.0167, 0.0167]
    assert plane_map().eigenvalues[:10] == pytest.approx(expected, abs=6e-5)


def test_kept_features_end_between_shells() -> None:
    products = np.sort((plane_map().eigenvalues[:, None] * bridge_map().eigenvalues).ravel())[::-1]
    for count in (FEATURES, MASK_FEATURES):
        assert products[count] < 0.5 * products[count - 1]


def test_products_of_many_features_are_the_kernel() -> None:
    points = np.random.default_rng(1).normal(0, 1, (20, 3))
    points[:, 2] = np.resize([-0.6, 0, 0.6], 20)
    phi = features(points, 160)
    assert phi @ phi.T == pytest.approx(kernel(points, points), abs=1e-3)
    kept = features(points)
    assert (kept**2).sum(axis=1).max() <= 1
    middle = points[np.abs(points[:, :2]).max(axis=1) < 1]
    assert features(middle) @ features(middle).T == pytest.approx(kernel(middle, middle), abs=0.05)


def test_products_do_not_change_under_mirroring() -> None:
    points = np.array([[0.4, -1.1, 0.6], [1.3, 0.2, -0.6], [-0.8, 0.5, 0.0]])
    phi = features(points)
    for signs in ([-1, 1, 1], [1, -1, 1], [1, 1, -1]):
        mirrored = features(points * signs)
        assert mirrored @ mirrored.T == pytest.approx(phi @ phi.T, abs=1e-9)


def test_a_measured_face_is_one_point() -> None:
    face = embed(FaceDescription(118.5, 139.5, nose_bridge="medium"))
    assert face.spread == pytest.approx(0, abs=1e-12)
    assert face.truncated == pytest.approx(1 - face.features @ face.features)
    assert face.truncated < 0.03
    aside = embed(FaceDescription(128, 148, nose_bridge="medium"))
    assert 2 * aside.truncated < aside.truncated_mask < 0.3


def test_the_less_is_known_the_more_faces_spread() -> None:
    known = embed(FaceDescription(118, 138, nose_bridge="high"))
    no_bridge = embed(FaceDescription(118, 138))
    cell = embed(FaceDescription(cell="4"))
    nothing = embed(FaceDescription())
    assert known.spread < no_bridge.spread < cell.spread < nothing.spread < 1


def test_millimetres_beat_the_cell() -> None:
    assert embed(FaceDescription(118, 138, cell="1")).features == pytest.approx(
        embed(FaceDescription(118, 138)).features
    )


def test_a_cell_is_the_mean_of_its_lattice() -> None:
    lengths, widths = np.meshgrid(108.5 + 10 * (np.arange(4) + 0.5) / 4, 132.5 + 12 * (np.arange(4) + 0.5) / 4)
    each = [
        embed(FaceDescription(float(a), float(b), nose_bridge="low")).features
        for a, b in zip(lengths.ravel(), widths.ravel(), strict=True)
    ]
    assert embed(FaceDescription(cell="4", nose_bridge="low")).features == pytest.approx(np.mean(each, axis=0))


def test_far_faces_lose_their_features() -> None:
    assert embed(FaceDescription(190, 220, nose_bridge="low")).truncated > 0.99


def test_places() -> None:
    assert place_mm(FaceDescription(120, 140)) == (120, 140)
    assert place_mm(FaceDescription(cell="1")) == (103.5, 126.5)
    assert np.isnan(place_mm(FaceDescription(cell="outside"))).all()
