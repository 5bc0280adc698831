from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from scipy.special import ndtr, ndtri

from builder.fit.arrays import FloatArray
from builder.fit.facemodel.next_test import best_chance_gain
from builder.fit.facemodel.outlook import Outlook
from builder.fit.facemodel.predict import HALF_WIDTH, chance, mixture, predict, try_in_order


def outlook(mean: list[float], covariance: FloatArray, redonning: float = 0.5) -> Outlook:
    """An outlook with any covariance: all of it in the shared loading."""
    n = len(mean)
    factor: FloatArray = np.linalg.cholesky(covariance).astype(float)
    return Outlook(
        mean=np.array(mean),
        known=np.diagonal(covariance).copy(),
        own=np.zeros(n),
        redonning=redonning,
        loading=factor,
        mask_loadings=(),
        mask=np.arange(n),
        style=np.arange(n),
        common=0.0,
        same_style=0.0,
        same_mask=np.zeros(n),
        alone=np.zeros(n),
    )


# The second is nearly the first again, the third fails for reasons of its own.
TWINS = outlook([0.5, 0.45, 0.2], np.array([[1.0, 0.99, 0.0], [0.99, 1.0, 0.0], [0.0, 0.0, 1.0]]))


def test_chance_by_hand() -> None:
    assert chance(TWINS, 0.0)[0] == pytest.approx(ndtr(0.5 / np.sqrt(1.25)))


def test_intervals_by_hand() -> None:
    found = predict([TWINS], 0.0)
    assert found.low[0] == pytest.approx(ndtr((0.5 - HALF_WIDTH) / 0.5))
    assert found.reading_high[0] == pytest.approx(0.5 + HALF_WIDTH * np.sqrt(1.25))
    assert pytest.approx(float(ndtri(0.95))) == HALF_WIDTH


def test_intervals_and_chances_of_several_scales_by_hand() -> None:
    one, other = outlook([1.0, 2.0], np.diag([0.5, 0.2])), outlook([3.0, 2.0], np.diag([1.5, 0.4]), redonning=1.5)
    found = predict([one, other], 2.5)
    assert found.chance == pytest.approx((chance(one, 2.5) + chance(other, 2.5)) / 2)
    assert found.mean == pytest.approx([2.0, 2.0])
    known, donning = np.array([2.0, 0.3]), (0.5**2 + 1.5**2) / 2
    for limit, way in ((found.low, -1), (found.high, 1)):
        assert limit == pytest.approx(ndtr((2.0 + way * HALF_WIDTH * np.sqrt(known) - 2.5) / np.sqrt(donning)))
    for limit, way in ((found.reading_low, -1), (found.reading_high, 1)):
        assert limit == pytest.approx(2.0 + way * HALF_WIDTH * np.sqrt(known + donning))


def test_mixture_adds_the_variance_of_the_means() -> None:
    mean, variance = mixture([np.array([1.0]), np.array([3.0])], [np.array([0.5]), np.array([1.5])])
    assert (mean[0], variance[0]) == (2.0, 2.0)


def test_the_list_avoids_what_fails_together() -> None:
    chosen = try_in_order([TWINS], 0.0, 3)
    assert [number for number, _, _ in chosen] == [0, 2, 1]
    assert chosen[0][1] == pytest.approx(chosen[0][2])
    cumulative = [entry[2] for entry in chosen]
    assert cumulative == sorted(cumulative)


def test_the_list_of_two_is_the_best_pair() -> None:
    chosen = try_in_order([TWINS], 0.0, 2)
    draws = np.random.default_rng(9).multivariate_normal(TWINS.mean, TWINS.covariance(np.arange(3)), 200_000)
    passes = ndtr(draws / TWINS.redonning)
    either = {pair: 1 - (1 - passes[:, list(pair)]).prod(axis=1).mean() for pair in permutations(range(3), 2)}
    best = max(either, key=lambda pair: either[pair])
    assert {number for number, _, _ in chosen} == set(best)
    assert chosen[1][2] == pytest.approx(either[best], abs=0.01)


def test_more_asked_for_than_there_are() -> None:
    assert len(try_in_order([TWINS], 0.0, 10)) == 3


def test_gain_of_a_test_against_simulation() -> None:
    gain = best_chance_gain(TWINS, 0.0)
    covariance, noise = TWINS.covariance(np.arange(3)), TWINS.redonning**2
    outcome = np.random.default_rng(4).standard_normal(100_000)
    now = ndtr(TWINS.mean / np.sqrt(np.diagonal(covariance) + noise)).max()
    for tested in range(3):
        shift = covariance[tested] / np.sqrt(covariance[tested, tested] + noise)
        spread = np.sqrt(np.diagonal(covariance) - shift**2 + noise)
        after = ndtr((TWINS.mean + outcome[:, None] * shift) / spread).max(axis=1).mean()
        assert gain[tested] == pytest.approx(after - now, abs=0.005)


def test_a_known_configuration_is_not_worth_a_test() -> None:
    covariance = np.diag([1e-8, 1.0])
    gain = best_chance_gain(outlook([0.5, 0.4], covariance), 0.0)
    assert gain[0] < 1e-4 < gain[1]


def test_a_compact_outlook_tells_the_same() -> None:
    wide = replace(TWINS, loading=np.random.default_rng(1).normal(size=(3, 12)))
    assert wide.compact().loading.shape == (3, 3)
    index = np.array([2, 0])
    assert wide.compact().covariance(index) == pytest.approx(wide.covariance(index))
    assert TWINS.compact() is TWINS
