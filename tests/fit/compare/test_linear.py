"""Weighted least squares and what a design can tell apart."""

import numpy as np
import pytest

from builder.fit.compare.linear import least_squares, row_space

ONE_AT_A_TIME = np.array([[1, 0, 0], [1, 1, 0], [1, 0, 1]], dtype=float)
ALWAYS_TOGETHER = np.array([[1, 0, 0, 0], [1, 1, 1, 0], [1, 0, 0, 1]], dtype=float)
ONES = np.ones(3)


def test_estimates_what_the_design_can_tell() -> None:
    fit = least_squares(ONE_AT_A_TIME, np.array([1.0, 3.0, 0.0]), ONES, 0.5 * ONES)
    assert fit.coefficients.tolist() == pytest.approx([1, 2, -1])
    assert fit.estimate(np.array([0.0, 1.0, 0.0])) == pytest.approx((2, 1))
    assert fit.aliases(1) == fit.aliases(2) == []


def test_names_what_it_cannot() -> None:
    fit = least_squares(ALWAYS_TOGETHER, np.array([1.0, 3.0, 0.0]), ONES, ONES)
    assert (fit.aliases(1), fit.aliases(2), fit.aliases(3)) == ([2], [1], [])
    assert not fit.estimable(np.array([0.0, 1.0, 0.0, 0.0]))
    both = np.array([0.0, 1.0, 1.0, 0.0])
    assert fit.estimable(both)
    assert fit.estimate(both)[0] == pytest.approx(2)


def test_row_space_is_that_of_the_pseudo_inverse() -> None:
    rng = np.random.default_rng(4)
    for rank in (1, 3, 5):
        design = rng.normal(size=(9, rank)) @ rng.normal(size=(rank, 6))
        assert np.abs(row_space(design) - np.linalg.pinv(design) @ design).max() < 1e-10


def test_inverse_variances_are_generalised_least_squares() -> None:
    rng = np.random.default_rng(5)
    design, y, variances = rng.normal(size=(8, 3)), rng.normal(size=8), rng.uniform(0.5, 2, 8)
    fit = least_squares(design, y, 1 / variances, variances)
    precision = design.T / variances @ design
    assert np.allclose(fit.coefficients, np.linalg.solve(precision, design.T / variances @ y))
    assert np.allclose(fit.covariance, np.linalg.inv(precision))
