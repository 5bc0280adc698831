"""One mask's part of a design: the arms it has, and the coefficients that these reach."""

from dataclasses import dataclass

from builder.fit.arrays import FloatArray, IntArray


@dataclass(frozen=True)
class MaskBlock:
    """The arms of one mask. `rows` (arms, width) has the mask's own columns first, then those of `shared`.

    The mask's arms of one wearer are a group; wearers' columns are left out of `rows`, as each group has just one.
    """

    own: int
    """How many columns are the mask's own."""
    shared: IntArray
    """Shared coefficient of each further column."""
    terms: IntArray
    """Number of each column's term."""
    arms: slice
    groups: slice
    rows: FloatArray
    starts: IntArray
    """First arm of each group, counted from the mask's first."""
    group: IntArray
    """Group of each arm, counted from the mask's first."""
    wearers: IntArray
    """Wearer of each group."""
