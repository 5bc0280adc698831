"""Faces: the bivariate panel of face lengths and widths, and the scale the face model works on.

Face length is chin to the deepest point of the nasal root (menton–sellion), face width the widest distance across
the cheekbones (bizygomatic), both in mm. The panel is that of Zhuang, Bradtmiller & Shaffer, J. Occup. Environ. Hyg.
2007;4:647–659, drawn from 3,997 respirator users. Its limits and shares are values from memory; the
shares agree within 3 points with those computed from ANSUR II (public US Army survey, 2012), which makes the limits
plausible without proving them.
"""

import math
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

NOSE_BRIDGES = ("low", "medium", "high")
OUTSIDE = "outside"
"""The cell of a face that was measured and lies in no cell of the panel."""
UNKNOWN = "unknown"
"""The cell of a face that was not measured."""

Number = TypeVar("Number", float, NDArray[np.float64])


@dataclass(frozen=True)
class Cell:
    """One cell of the panel: limits in mm, share of the population in percent."""

    number: int
    length_low: float
    length_high: float
    width_low: float
    width_high: float
    share_percent: float

    @property
    def name(self) -> str:
        """The cell as the table writes it: "1" to "10"."""
        return str(self.number)


# There is no cell for short wide faces (98.5–108.5 × 144.5–158.5) nor for long narrow ones (128.5–138.5 × 120.5–134.5).
CELLS = (
    Cell(1, 98.5, 108.5, 120.5, 132.5, 5.5),
    Cell(2, 98.5, 108.5, 132.5, 144.5, 5.3),
    Cell(3, 108.5, 118.5, 120.5, 132.5, 10.5),
    Cell(4, 108.5, 118.5, 132.5, 144.5, 25.0),
    Cell(5, 108.5, 118.5, 144.5, 158.5, 5.2),
    Cell(6, 118.5, 128.5, 120.5, 134.5, 5.4),
    Cell(7, 118.5, 128.5, 134.5, 146.5, 21.3),
    Cell(8, 118.5, 128.5, 146.5, 158.5, 8.8),
    Cell(9, 128.5, 138.5, 134.5, 146.5, 4.9),
    Cell(10, 128.5, 138.5, 146.5, 158.5, 5.7),
)


LEAST_LENGTH_MM = min(cell.length_low for cell in CELLS)
LEAST_WIDTH_MM = min(cell.width_low for cell in CELLS)
"""The smallest face that the panel stands for; it was drawn from adults."""


PANEL_SEATS = {"1": 2, "2": 2, "3": 2, "4": 5, "5": 2, "6": 2, "7": 4, "8": 2, "9": 2, "10": 2}
"""Wearers of each cell in a panel of 25, as the paper above shares them out: values from memory."""


def below_panel(length_mm: float, width_mm: float) -> bool:
    """Whether a face is shorter or narrower than any of the panel's; what is NaN is neither."""
    return length_mm < LEAST_LENGTH_MM or width_mm < LEAST_WIDTH_MM


def cell_of(length_mm: float, width_mm: float) -> str:
    """The panel cell of one face: "1" to "10", "outside", or "unknown" where a measure is NaN."""
    return str(cells_of(length_mm, width_mm))


def cells_of(lengths: ArrayLike, widths: ArrayLike) -> NDArray[np.str_]:
    """The panel cell of each face, in the shape of the two arrays of mm; see `cell_of`.

    A face on a limit belongs to the cell above it, and at the panel's outer edge to the cell below.
    """
    length, width = np.broadcast_arrays(np.asarray(lengths, dtype=float), np.asarray(widths, dtype=float))
    cells = np.full(length.shape, OUTSIDE)
    # Cells are numbered upwards in length, then in width: letting the later one overwrite the earlier gives
    # a shared limit to the cell above, while a limit nobody shares stays with its only cell.
    for cell in CELLS:
        inside = (length >= cell.length_low) & (length <= cell.length_high)
        inside &= (width >= cell.width_low) & (width <= cell.width_high)
        cells[inside] = cell.name
    cells[np.isnan(length) | np.isnan(width)] = UNKNOWN
    return cells


def population_shares() -> dict[str, float]:
    """Share of the panel's population in each cell, "1" to "10", adding up to 1."""
    total = math.fsum(cell.share_percent for cell in CELLS)
    return {cell.name: cell.share_percent / total for cell in CELLS}


def standardise(length: Number, width: Number) -> tuple[Number, Number]:
    """Face length and width in mm as distances from the panel's middle, in units of 8 mm.

    The constants are fixed so that a face keeps its place when data are added. They are near the mean and
    standard deviation of both measures over men and women.
    """
    return (length - 118.5) / 8, (width - 139.5) / 8
