"""Grids of configurations."""

from builder.fit.compare.aligned_arms import AlignedArms
from builder.fit.compare.grid import Grid
from builder.fit.compare.measured_arms import arm_parts
from tests.fit.tables import SLOTS, measured, scatter_of_all, tidy


def grid_of(*configurations: str) -> Grid:
    table = tidy([(c, "ann", 10.0) for c in configurations])
    aligned = AlignedArms.of(arm_parts(table, SLOTS), measured(table, scatter_of_all(0.1)))
    return Grid.of(aligned.rows, SLOTS, aligned.error)


def test_reference_is_as_sold() -> None:
    grid = grid_of("m", "m+straps-b", "m+straps-a", "m+edge-tape")
    assert grid.options == {"straps": ("", "straps-a", "straps-b"), "edge": ("", "edge-tape")}
    assert grid.columns == (("straps", "straps-a"), ("straps", "straps-b"), ("edge", "edge-tape"))
    assert grid.design.sum(axis=0).tolist() == [4, 1, 1, 1]
    assert not grid.complete


def test_complete_with_three_options() -> None:
    ends = ("", "+edge-tape")
    straps = ("", "+straps-a", "+straps-b")
    assert grid_of(*(f"m{strap}{end}" for strap in straps for end in ends)).complete


def test_a_single_configuration_has_nothing_to_compare() -> None:
    grid = grid_of("m+straps-a")
    assert (grid.options, grid.columns, grid.complete) == ({}, (), True)
    assert grid.design.shape == (1, 1)
