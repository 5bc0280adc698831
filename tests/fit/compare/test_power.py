"""Donnings needed: the planning table, and statsmodels' power of the t-test."""

import math

import pytest
from statsmodels.stats.power import TTestIndPower

from builder.fit.compare.power import more_donnings, power, smallest_ratio
from builder.fit.levels import MOST_ADDED_DONNINGS

RATIOS = (1.25, 1.5, 2, 3, 5)


def donnings_each_side(ratio: float, gsd: float, *, confidence: float = 0.95, scatter_df: float = 24) -> int | None:
    # n donnings each side bring 2(n − 1) degrees of freedom.
    return more_donnings(ratio, gsd, 0, 0, scatter_df - 2, confidence=confidence)


@pytest.mark.parametrize(
    ("gsd", "at95", "at80"),
    [
        (1.3, (23, 7, 3, 1, 1), (13, 4, 2, 1, 1)),
        (1.5, (53, 17, 6, 3, 2), (31, 10, 4, 2, 1)),
        (1.8, (110, 34, 12, 5, 3), (63, 20, 7, 3, 2)),
    ],
)
def test_planning_table(gsd: float, at95: tuple[int, ...], at80: tuple[int, ...]) -> None:
    assert tuple(donnings_each_side(ratio, gsd) for ratio in RATIOS) == at95
    assert tuple(donnings_each_side(ratio, gsd, confidence=0.8) for ratio in RATIOS) == at80
    assert tuple(donnings_each_side(1 / ratio, gsd) for ratio in RATIOS) == at95


@pytest.mark.parametrize(("n_a", "n_b", "effect"), [(3, 3, 1.0), (5, 9, 0.7), (20, 4, 2.0)])
def test_power_is_that_of_statsmodels(n_a: int, n_b: int, effect: float) -> None:
    """statsmodels counts both tails, so its one-sided power at half the level is the one to compare with."""
    ours = power(math.exp(effect), math.e, n_a, n_b, n_a + n_b - 2, confidence=0.95)
    reference = TTestIndPower().power(effect, n_a, 0.025, ratio=n_b / n_a, alternative="larger")
    assert ours == pytest.approx(reference, rel=1e-9)


def test_donnings_with_own_scatter_only() -> None:
    """statsmodels solves for the same number where no scatter is known beforehand."""
    effect = math.log(2) / math.log(1.5)
    reference = TTestIndPower().solve_power(effect, power=0.8, alpha=0.025, alternative="larger")
    assert donnings_each_side(2, 1.5, scatter_df=0) == math.ceil(reference)


@pytest.mark.parametrize("n", [1, 2, 5, 12])
def test_smallest_ratio_is_the_inverse(n: int) -> None:
    ratio = smallest_ratio(n, 1.6, confidence=0.95, scatter_df=24)
    assert donnings_each_side(ratio * 1.0001, 1.6) == n
    assert donnings_each_side(ratio * 0.9999, 1.6) == n + 1


def test_more_donnings() -> None:
    assert more_donnings(2, 1.3, 6, 6, 30) == 0
    more = more_donnings(2, 1.8, 2, 5, 10)
    assert more is not None
    assert power(2, 1.8, 2 + more, 5 + more, 10 + 2 * more, confidence=0.9) >= 0.8
    assert power(2, 1.8, 1 + more, 4 + more, 8 + 2 * more, confidence=0.9) < 0.8


@pytest.mark.parametrize("gsd", [1.0, 1 + 1e-12, 1.01, 2, 1e3, 1e100, math.inf])
@pytest.mark.parametrize("df", [1e-3, 0.3, 2, math.inf])
def test_any_scatter_has_an_answer(gsd: float, df: float) -> None:
    more = more_donnings(2, gsd, 1, 1, df)
    assert more is None or 0 <= more <= MOST_ADDED_DONNINGS
    assert (more is None) >= (gsd > 1e6)


def test_one_degree_of_freedom_is_enough() -> None:
    ratio = smallest_ratio(1, 1.5, confidence=0.9, scatter_df=1)
    assert power(ratio, 1.5, 1, 1, 1, confidence=0.9) == pytest.approx(0.8)


def test_what_cannot_be_told() -> None:
    with pytest.raises(ValueError, match="a ratio of 1"):
        donnings_each_side(1, 1.5)
    with pytest.raises(ValueError, match="one donning each side"):
        smallest_ratio(1, 1.5, confidence=0.95, scatter_df=0)
