"""The panel of faces against its publication and against a survey it was not drawn from."""

import numpy as np
import pytest
from scipy.stats import norm

from builder.fit.panel import CELLS, cell_of, population_shares

# Share of each cell in ANSUR II (public US Army survey, 2012), men and women weighted alike; computed.
ANSUR_II_PERCENT = [5.6, 6.2, 12.5, 24.2, 4.4, 6.0, 22.7, 7.6, 5.5, 3.0]


def test_shares() -> None:
    """Zhuang, Bradtmiller & Shaffer, J. Occup. Environ. Hyg. 2007;4:647–659; values from memory."""
    assert [cell.share_percent for cell in CELLS] == [5.5, 5.3, 10.5, 25.0, 5.2, 5.4, 21.3, 8.8, 4.9, 5.7]


def test_the_panel_covers_over_95_percent() -> None:
    """The same: over 95 % of 3,997 respirator users covered."""
    assert 95 < sum(cell.share_percent for cell in CELLS) <= 100


def test_the_two_missing_cells() -> None:
    """The same: no cell for short wide faces, nor for long narrow ones."""
    assert cell_of(103.5, 151.5) == "outside"
    assert cell_of(133.5, 127.5) == "outside"


def test_cells_fill_the_panel_without_overlap() -> None:
    area = sum((cell.length_high - cell.length_low) * (cell.width_high - cell.width_low) for cell in CELLS)
    whole = (138.5 - 98.5) * (158.5 - 120.5)
    missing = 10 * (158.5 - 144.5) + 10 * (134.5 - 120.5)
    assert area == whole - missing


def test_shares_against_another_survey() -> None:
    """ANSUR II at half men, half women: within 3 points in every cell."""
    np.testing.assert_allclose([cell.share_percent for cell in CELLS], ANSUR_II_PERCENT, atol=3)
    np.testing.assert_allclose(
        list(population_shares().values()), np.array(ANSUR_II_PERCENT) / sum(ANSUR_II_PERCENT), atol=0.03
    )


def test_limits_against_normal_faces() -> None:
    """Normal length and width with ANSUR II's means and deviations (computed) fill the cells roughly so.

    Length and width are taken as independent within each sex, which they nearly are.
    """
    sexes = [((122.6, 6.7), (142.6, 6.2)), ((113.1, 6.1), (133.8, 5.6))]
    for cell, percent in zip(CELLS, ANSUR_II_PERCENT, strict=True):
        expected = np.mean(
            [
                np.diff(norm.cdf([cell.length_low, cell.length_high], *length))[0]
                * np.diff(norm.cdf([cell.width_low, cell.width_high], *width))[0]
                for length, width in sexes
            ]
        )
        assert 100 * expected == pytest.approx(percent, abs=3)
