"""What a planned run can tell before it begins, and what a drift does to it."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.compare.interactions import INTERACTION_SD
from builder.fit.plan.fractions import Factor
from builder.fit.plan.planned_run import drift_bias, outlook, plan_run
from builder.fit.plan.tours import closed_tour
from tests.fit.tables import scatter_of_all

A, B, C = (Factor(name.lower(), (name,)) for name in "ABC")
MIXED = Factor("m", ("M1", "M2"))
SCATTER = scatter_of_all(np.log(1.5) ** 2, 24.0)


def as_worn(places: list[tuple[int, ...]]) -> list[tuple[str, ...]]:
    return [tuple(f.options[p] for f, p in zip((A, B, C), place, strict=True)) for place in places]


def test_drift_of_one_pass() -> None:
    """A Gray order puts all drift into the slowest slot, the standard order 4, 2 and 1 steps into the three."""
    assert drift_bias([A, B, C], as_worn(closed_tour([2, 2, 2]))) == pytest.approx([0, 0, 4], abs=1e-9)
    standard = [place[::-1] for place in product(range(2), repeat=3)]
    assert drift_bias([A, B, C], as_worn(standard)) == pytest.approx([1, 2, 4], abs=1e-9)


def test_drift_with_the_closing_donning() -> None:
    """As sold in the mean of steps 0 and 8 rather than at 0: 4 steps later, a quarter of it off each effect."""
    plan = plan_run([A, B, C], donnings=1)
    assert [part.drift for part in outlook(plan, SCATTER).parts] == pytest.approx([-1, -1, 3], abs=1e-9)


@given(
    st.permutations([A, B, C, MIXED]), st.integers(1, 4), st.sampled_from([2, 4]), st.booleans(), st.integers(0, 999)
)
def test_alternating_repeats_cancel_drift(
    factors: list[Factor], many: int, donnings: int, half: bool, seed: int
) -> None:
    chosen = factors[:many]
    half = half and sum(factor.two_level for factor in chosen) == 3
    plan = plan_run(chosen, donnings=donnings, half=half, seed=seed)
    assert drift_bias(chosen, [d.configuration for d in plan.run]) == pytest.approx(0, abs=1e-9)


def test_part_outlook() -> None:
    found = outlook(plan_run([A, MIXED], donnings=3), SCATTER)
    assert [(part.slot, part.part, part.donnings) for part in found.parts] == [
        ("a", "A", 9), ("m", "M1", 6), ("m", "M2", 6),
    ]  # fmt: skip
    assert found.gsd == pytest.approx(1.5)
    assert found.df == pytest.approx(24 + 2 * 6)
    ratios = [*(part.smallest_ratio for part in found.parts), found.pair_ratio]
    assert ratios == sorted(ratios, key=lambda ratio: ratio or 0.0)
    assert len(set(ratios)) == 3


def test_doubling_is_that_of_the_planning_table() -> None:
    """One part alone, six donnings each: the table's number for GSD 1.5 at 24 degrees of freedom."""
    found = outlook(plan_run([A], donnings=1), SCATTER)
    assert found.pair_doubling_donnings == found.parts[0].doubling_donnings == 6


def test_repeats_needed_shrink_with_the_configurations_averaged_over() -> None:
    needed = [outlook(plan_run(factors), SCATTER).parts[0].doubling_donnings for factors in ([A], [A, B], [A, B, C])]
    assert needed == [6, 3, 2]


def test_a_half_carries_what_parts_do_together() -> None:
    """Beyond the scatter each cell of a half may miss the product of its parts by INTERACTION_SD."""
    half = outlook(plan_run([A, B, C], donnings=2, half=True), SCATTER)
    wider = scatter_of_all(SCATTER.stranger.variance + 2 * INTERACTION_SD**2, 24.0)
    same = outlook(plan_run([A, B], donnings=2), wider)
    assert half.parts[0].smallest_ratio == pytest.approx(same.parts[0].smallest_ratio)
    assert half.pair_ratio == pytest.approx(outlook(plan_run([A, B], donnings=2), SCATTER).pair_ratio)


def test_scatter_too_little_known() -> None:
    unknown = scatter_of_all(0.5, 0.2)
    found = outlook(plan_run([A], donnings=1), unknown)
    assert found.pair_ratio is None
    assert found.parts[0].smallest_ratio is None
    wild = scatter_of_all(30.0, 10.0)
    assert outlook(plan_run([A], donnings=1), wild).pair_doubling_donnings is None


def test_same_arguments_same_plan() -> None:
    assert plan_run([A, MIXED, B], seed=7) == plan_run([A, MIXED, B], seed=7)
    assert plan_run([A, B, C], half=True).cannot_tell == (
        (("A",), ("B", "C")),
        (("B",), ("A", "C")),
        (("C",), ("A", "B")),
    )
