"""Weighted least squares and what a design can tell apart."""

import numpy as np
import pytest

from builder.fit.compare.linear import inverse, least_squares, row_space

ONE_AT_A_TIME = np.array([[1, 0, 0], [1, 1, 0], [1, 0, 1]], dtype=float)
ALWAYS_TOGETHER = np.array([[1, 0, 0, 0], [1, 1, 1, 0], [1, 0, 0, 1]], dtype=float)
EVEN = np.eye(3)


def test_estimates_what_the_design_can_tell() -> None:
    fit = least_squares(ONE_AT_A_TIME, np.array([1.0, 3.0, 0.0]), EVEN, 0.5 * EVEN)
    assert fit.coefficients.tolist() == pytest.approx([1, 2, -1])
    assert fit.estimate(np.array([0.0, 1.0, 0.0])) == pytest.approx((2, 1))
    assert fit.aliases(1) == fit.aliases(2) == []


def test_names_what_it_cannot() -> None:
    fit = least_squares(ALWAYS_TOGETHER, np.array([1.0, 3.0, 0.0]), EVEN, EVEN)
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


def test_the_inverse_covariance_is_generalised_least_squares() -> None:
    rng = np.random.default_rng(5)
    design, y, root = rng.normal(size=(8, 3)), rng.normal(size=8), rng.normal(size=(8, 8))
    covariance = root @ root.T + np.eye(8)
    weights = inverse(covariance)
    fit = least_squares(design, y, weights, covariance)
    precision = design.T @ weights @ design
    assert np.allclose(fit.coefficients, np.linalg.solve(precision, design.T @ weights @ y))
    assert np.allclose(fit.covariance, np.linalg.inv(precision))
